//! m
mod block_kernel;
/// x
pub fn dbg(p:[f64;3],h:[f64;3],j:[f64;3])->[f64;3]{block_kernel::field::<false,3>(p,h,j)}
/// x
pub fn dbg1(p:[f64;3],h:[f64;3],j:[f64;3])->[f64;3]{block_kernel::field::<false,1>(p,h,j)}
