//! What can go wrong around the program: death, crowds, damage, disks,
//! repositories, odd files, editors, and people who mistype.

mod at_once;
mod death;
mod disks;
mod editor;
mod index;
mod misuse;
mod odd_files;
mod repository;
