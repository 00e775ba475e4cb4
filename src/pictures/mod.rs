//! Pictures as bytes: of what kind they are, and what of one may be published.
//!
//! Nothing here touches the disk, and only HEIC, which no browser shows, is decoded.

mod heic;
mod jpeg;
mod kind;
mod orientation;
mod png;
mod publish;
mod webp;
mod withheld;

pub use kind::PictureKind;
pub use publish::{PublishedPicture, published};
pub use withheld::Withheld;
