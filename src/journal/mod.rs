//! The journal on disk: its settings, its vehicles, its entries, its
//! episodes.
//!
//! It reads texts and adds to them; it computes nothing from them and knows
//! nothing of git.

mod contents;
mod disk;
mod drafts;
mod durable;
mod entry_files;
mod episode;
mod error;
mod folder;
mod front;
mod made_folder;
mod manifest;
mod photos;
mod picture;
mod root;
mod settings;
mod slug;
mod texts;
mod vehicle;

pub use contents::{Contents, gather, is_text_of_journal};
pub use disk::{IGNORED, Journal, begin, hide_computed};
pub use drafts::{drafts_in, put_draft, remove_draft};
pub use durable::{
    UNFINISHED_BY_HISTORY, copy_new, write_atomically, write_new, write_private, write_unsynced,
};
pub use entry_files::{ENTRIES, FoundFile, Look, Walked, walk, walk_entries};
pub use episode::{Episode, State};
pub use error::JournalError;
pub use folder::{FolderItem, folder_items};
pub use made_folder::{FilesMade, Foreign, MadeFolder};
pub use manifest::{MANIFEST, PictureManifest, is_listable};
pub use photos::{PHOTOS, PhotoFiles, files_below, open_file, photo_files, sha256};
pub use picture::{NoPicture, PictureLook};
pub use root::{find_around, find_root};
pub use settings::{Settings, TEMPLATE as SETTINGS_TEMPLATE, read_author, toml_text};
pub use slug::{entry_path, slug};
pub use texts::read_if_there;
pub use vehicle::VehicleFile;
