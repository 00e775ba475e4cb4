//! Pictures and clips as bytes: of what kind they are, when they were taken, and what
//! of one may be published.
//!
//! Nothing here touches the disk. What is decoded is HEIC, which no browser shows, and JPEG
//! larger than a screen.

mod clip;
mod heic;
mod jpeg;
mod kind;
mod orientation;
mod png;
mod profile;
mod publish;
mod scaled;
mod taken;
mod webp;
mod withheld;

pub use clip::{ClipHeader, clip_header, is_clip};
pub use kind::PictureKind;
pub use publish::{PublishedPicture, published};
pub use taken::{Taken, TakenSource, picture_taken};
pub use withheld::Withheld;
