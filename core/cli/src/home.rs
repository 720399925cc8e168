//! The home network: which addresses this machine has there, and a certificate authority made for them alone.

mod address;
mod authority;
mod code;
pub mod page;

pub use address::{addresses, is_local, local};
pub use authority::{Authority, Leaf};
pub use code::code;
