//! The library against published numbers. Each value and its source stand in the `.toml` file beside the test.

mod cases;
mod hall;
mod magnets;
