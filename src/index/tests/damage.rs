//! Whatever happens to the files of the index, the answer is right.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::tempdir;

use super::{TestJournal, found, seen};
use crate::index::schema::{DocumentMark, FORMAT};
use crate::index::{Index, IndexError};

fn shop() -> TestJournal {
    let mut shop = TestJournal::default();
    for file in 0..20 {
        shop.write(
            &format!("{file:02}.md"),
            &format!("Part {file}\nbracket {}", file % 3),
        );
    }
    shop
}

/// Where the index of this format lies.
fn lying(folder: &Path) -> PathBuf {
    folder.join(format!("v{FORMAT}"))
}

fn open(folder: &Path) -> Index {
    Index::open(folder, "f", Duration::from_secs(5)).expect("open")
}

/// An index that has been written to twice, so that it has deletions too.
fn made(folder: &Path, shop: &mut TestJournal) {
    let mut index = open(folder);
    shop.refresh(&mut index);
    shop.write("03.md", "Part 3\nsecond text");
    shop.refresh(&mut index);
    index.wait_merging();
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(lying(folder)).expect("folder");
    let mut files: Vec<_> = entries.map(|entry| entry.expect("entry").path()).collect();
    files.retain(|path| !path.to_string_lossy().ends_with(".lock"));
    files.sort();
    files
}

/// Opens, refreshes and asks, as a command does; says whether it started over.
fn answers_right(folder: &Path, shop: &mut TestJournal) -> bool {
    let mut index = open(folder);
    let mut done = shop.refresh(&mut index);
    let ask = |index: &Index, shop: &TestJournal| -> Result<Vec<usize>, IndexError> {
        ["part", "bracket 2", "second text"]
            .iter()
            .map(|text| {
                let query = crate::index::Query {
                    text: (*text).to_owned(),
                    ..Default::default()
                };
                Ok(index.search(&query, 50, &|path| shop.text(path))?.total)
            })
            .collect()
    };
    let answer = match ask(&index, shop) {
        Err(IndexError::Damaged(_)) => {
            index.distrust();
            done = shop.refresh(&mut index);
            ask(&index, shop)
        }
        other => other,
    };
    assert_eq!(answer.expect("search"), [20, 6, 1]);
    assert_eq!(
        index.place("Part 3").expect("place").as_deref(),
        Some(&b"03.md: Part 3\nsecond text"[..])
    );
    index.wait_merging();
    done.rebuilt
}

/// As a later change by someone else would leave it.
fn touch_later(path: &Path) {
    let file = fs::File::options().write(true).open(path).expect("file");
    let found = file.metadata().expect("metadata").modified().expect("time");
    file.set_modified(found + Duration::from_secs(2))
        .expect("time");
}

#[test]
fn a_truncated_file_is_noticed() {
    let folder = tempdir().expect("folder");
    made(folder.path(), &mut shop());
    for at in 0..files(folder.path()).len() {
        for part in [0, 1, 2] {
            let folder = tempdir().expect("folder");
            let mut shop = shop();
            made(folder.path(), &mut shop);
            let files = files(folder.path());
            let Some(path) = files.get(at) else { continue };
            let bytes = fs::read(path).expect("read");
            fs::write(path, &bytes[..bytes.len() * part / 3]).expect("write");
            touch_later(path);
            answers_right(folder.path(), &mut shop);
            assert!(
                !answers_right(folder.path(), &mut shop),
                "settled after {path:?}"
            );
        }
    }
}

#[test]
fn a_flipped_bit_is_noticed() {
    let original = tempdir().expect("folder");
    let mut shop = shop();
    made(original.path(), &mut shop);
    let mut noticed = 0;
    let mut flips = 0;
    for path in files(original.path()) {
        let bytes = fs::read(&path).expect("read");
        for at in (0..bytes.len()).step_by((bytes.len() / 12).max(1)) {
            let folder = tempdir().expect("folder");
            fs::create_dir(lying(folder.path())).expect("folder");
            for other in files(original.path()) {
                let copy = lying(folder.path()).join(other.file_name().expect("name"));
                fs::copy(&other, copy).expect("copy");
            }
            let flipped = lying(folder.path()).join(path.file_name().expect("name"));
            let mut bytes = bytes.clone();
            bytes[at] ^= 1 << (at % 8);
            fs::write(&flipped, bytes).expect("write");
            touch_later(&flipped);
            flips += 1;
            noticed += usize::from(answers_right(folder.path(), &mut shop));
        }
    }
    // Some bits are of no consequence, such as those of the merge policy.
    assert!(noticed * 2 > flips, "{noticed} of {flips}");
}

#[test]
fn a_missing_file_is_noticed() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    let store = files(folder.path())
        .into_iter()
        .find(|path| path.extension().is_some_and(|e| e == "store"));
    fs::remove_file(store.expect("a store")).expect("remove");
    assert!(answers_right(folder.path(), &mut shop));
}

#[test]
fn an_index_of_another_format_is_made_anew_beside_it() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    fs::create_dir(folder.path().join("v0")).expect("folder");
    fs::create_dir(folder.path().join("v99")).expect("folder");
    fs::write(folder.path().join("v99/meta.json"), b"from the future").expect("write");
    fs::create_dir(folder.path().join("other")).expect("folder");
    assert!(answers_right_after_making(folder.path(), &mut shop));
    let mut left: Vec<_> = fs::read_dir(folder.path())
        .expect("folder")
        .map(|entry| {
            entry
                .expect("entry")
                .file_name()
                .into_string()
                .expect("name")
        })
        .collect();
    left.sort();
    assert_eq!(left, ["other".to_owned(), format!("v{FORMAT}")]);
}

fn answers_right_after_making(folder: &Path, shop: &mut TestJournal) -> bool {
    made(folder, shop);
    !answers_right(folder, shop)
}

#[test]
fn other_fields_under_the_same_number_are_made_anew() {
    let folder = tempdir().expect("folder");
    let place = lying(folder.path());
    fs::create_dir(&place).expect("folder");
    let mut schema = tantivy::schema::Schema::builder();
    schema.add_text_field("other", tantivy::schema::TEXT);
    tantivy::Index::create_in_dir(&place, schema.build()).expect("other index");
    assert!(answers_right_after_making(folder.path(), &mut shop()));
}

/// A process that was killed leaves what it was writing.
#[test]
fn leftovers_of_a_killed_process_do_no_harm() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    fs::write(lying(folder.path()).join(".tmpAbCdEf"), b"half").expect("write");
    // Writes segments and is dropped before its commit, without cleaning up.
    let kill = |shop: &mut TestJournal| {
        let index = open(folder.path());
        let writer = super::super::storage::writer(
            &index.engine,
            None,
            super::super::storage::WriteSize::Small,
        )
        .expect("writer");
        let docs = super::DocumentSource::read(shop, &["03.md"])
            .remove(0)
            .expect("docs");
        let mut writer = writer;
        for record in docs.records {
            writer
                .add_document(index.fields.record(record).expect("doc"))
                .expect("add");
        }
        writer.delete_term(index.fields.mark(DocumentMark::RecordOf, "04.md"));
        drop(writer.prepare_commit().expect("prepare"));
    };
    for _ in 0..3 {
        kill(&mut shop);
        assert!(!answers_right(folder.path(), &mut shop));
    }
    // The trap: a file under the name that the next deletion is going to use.
    shop.write("05.md", "Part 5\nbracket 2");
    let names: Vec<_> = {
        let index = open(folder.path());
        let metas = index.engine.load_metas().expect("metas");
        let next = |id: &str, more: u64| format!("{id}.{}.del", metas.opstamp + more);
        metas
            .segments
            .iter()
            .flat_map(|segment| (1..40).map(move |more| (segment.id().uuid_string(), more)))
            .map(|(id, more)| next(&id, more))
            .collect()
    };
    let managed = lying(folder.path()).join(".managed.json");
    let mut list: Vec<String> =
        serde_json::from_slice(&fs::read(&managed).expect("read")).expect("json");
    for name in &names {
        fs::write(lying(folder.path()).join(name), b"left behind").expect("write");
        list.push(name.clone());
    }
    fs::write(&managed, serde_json::to_vec(&list).expect("json")).expect("write");
    let mut index = open(folder.path());
    assert_eq!(shop.refresh(&mut index).files, 1);
    index.wait_merging();
    assert!(!lying(folder.path()).join(".tmpAbCdEf").exists());
    assert!(!answers_right(folder.path(), &mut shop));
}

/// The stored stamps belong to one commit, so an index without its commit is
/// an index before its refresh.
#[test]
fn a_refresh_that_fails_half_way_leaves_the_state_before() {
    struct Failing<'s>(&'s mut TestJournal);
    impl super::DocumentSource for Failing<'_> {
        fn begin(&mut self) {}

        fn read(&mut self, paths: &[&str]) -> Vec<Option<super::FileDocs>> {
            self.0.read(paths)
        }
        fn prepare(&mut self, _: &std::collections::BTreeSet<&str>) {}
        fn fold(&mut self, _: &str, _: &[std::rc::Rc<str>]) -> Option<super::Folded> {
            std::panic::resume_unwind(Box::new("stopped"))
        }
    }
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    shop.write("03.md", "Part 3\nthird words");
    let stopped = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        let mut index = open(folder.path());
        let looks = shop.looks();
        index
            .refresh(&seen(&looks), &mut Failing(&mut shop), &mut |_, _| {})
            .expect("refresh");
    }));
    assert!(stopped.is_err());
    let mut index = open(folder.path());
    assert_eq!(found(&shop.ask(&index, "second text")), ["03.md:1"]);
    assert_eq!(shop.refresh(&mut index).files, 1);
    assert_eq!(found(&shop.ask(&index, "third words")), ["03.md:1"]);
}

#[test]
fn where_nothing_can_be_written_memory_answers_the_same() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    // A file where the folder should be refuses even the system's own user.
    let blocked = folder.path().join("blocked");
    fs::write(&blocked, b"").expect("write");
    let refused = Index::open(&blocked.join("index"), "f", Duration::ZERO);
    assert!(matches!(refused, Err(IndexError::CannotWrite(_))));
    let stored = open(folder.path());
    let memory = shop.indexed();
    for text in ["part", "bracket 2", "second text", "brackt", "nowhere part"] {
        let (one, other) = (shop.ask(&stored, text), shop.ask(&memory, text));
        assert_eq!(
            (one.searched.clone(), one.total),
            (other.searched.clone(), other.total)
        );
    }
}

#[cfg(unix)]
#[test]
fn a_read_only_folder_is_told_from_damage() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    let set = |mode: u32| {
        let place = lying(folder.path());
        for path in files(folder.path()).iter().chain([&place]) {
            fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("mode");
        }
        let _ = fs::remove_file(place.join(".probe"));
    };
    for lock in [".tantivy-meta.lock", ".tantivy-writer.lock"] {
        let _ = fs::remove_file(lying(folder.path()).join(lock));
    }
    set(0o555);
    let can_write_anyway = fs::write(lying(folder.path()).join(".probe"), b"").is_ok();
    let opened = Index::open(folder.path(), "f", Duration::ZERO);
    // The system's own user may write wherever it likes.
    if !can_write_anyway {
        assert!(matches!(opened, Err(IndexError::CannotWrite(_))));
    }
    set(0o755);
}

#[test]
fn damage_that_no_look_can_see_is_found_by_checking() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    let path = files(folder.path())
        .into_iter()
        .find(|path| path.extension().is_some_and(|e| e == "fieldnorm"))
        .expect("a file");
    blot(&path, 3..4);
    let index = open(folder.path());
    assert!(!index.validate().expect("validate").is_empty());
}

/// A list of files that leaves one out names an index that is whole and wrong.
#[test]
fn a_lost_segment_is_noticed() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    let path = lying(folder.path()).join("meta.json");
    let list = fs::read(&path).expect("read");
    let mut list: serde_json::Value = serde_json::from_slice(&list).expect("json");
    let segments = list["segments"].as_array_mut().expect("segments");
    assert_eq!(segments.len(), 2);
    // The larger one comes first; the other holds the table of stamps.
    segments.remove(0);
    fs::write(&path, list.to_string()).expect("write");
    assert!(answers_right(folder.path(), &mut shop));
}

/// The same damage met while changing the index: a new one is made.
#[test]
fn damage_that_stands_in_the_way_of_a_change_is_cleared_away() {
    for extension in ["idx", "store", "term", "pos", "fast", "fieldnorm", "del"] {
        let folder = tempdir().expect("folder");
        let mut shop = shop();
        made(folder.path(), &mut shop);
        for path in files(folder.path()) {
            if path.extension().is_some_and(|found| found == extension) {
                let length = fs::metadata(&path).expect("metadata").len() as usize;
                blot(&path, length / 4..length / 2);
            }
        }
        shop.write("03.md", "Part 3\nsecond text");
        assert!(answers_right(folder.path(), &mut shop), "{extension}");
        let wrong = open(folder.path()).validate().expect("validate");
        assert_eq!(wrong, Vec::<String>::new());
    }
}

/// Damage that hinders nothing must not get a checksum that fits by a merge.
#[test]
fn damage_is_not_carried_into_what_is_written_next() {
    let folder = tempdir().expect("folder");
    let mut shop = shop();
    made(folder.path(), &mut shop);
    for path in files(folder.path()) {
        if path.extension().is_some_and(|e| e == "fieldnorm") {
            blot(&path, 3..4);
        }
    }
    assert!(!answers_right(folder.path(), &mut shop), "not noticed yet");
    shop.write("05.md", "Part 5\nbracket 2");
    assert!(answers_right(folder.path(), &mut shop));
}

/// Damages a file without leaving a trace in its time.
fn blot(path: &Path, bytes: std::ops::Range<usize>) {
    let before = fs::metadata(path)
        .expect("metadata")
        .modified()
        .expect("time");
    let mut content = fs::read(path).expect("read");
    for byte in &mut content[bytes] {
        *byte ^= 4;
    }
    fs::write(path, content).expect("write");
    let earlier = before - Duration::from_secs(60);
    let file = fs::File::options().write(true).open(path).expect("file");
    file.set_modified(earlier).expect("time");
}
