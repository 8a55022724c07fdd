//! What must hold over the whole valid domain, and for garbage: an error, never a panic.

mod hall;
mod magnet;
