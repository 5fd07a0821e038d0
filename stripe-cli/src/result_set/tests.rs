//! Sets in folders of every kind, and what is left of them.

use super::*;

/// A folder of one test's own, removed afterwards.
struct Place(PathBuf);

impl Place {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("stripelay-{name}-{}", std::process::id()));
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn appears_whole() {
    let place = Place::new("whole");
    let out = place.0.join("deep/er/out");
    let mut set = ResultSet::begin(&out, Room::Empty, Kind::Plan).unwrap();
    set.write("a.txt", b"a").unwrap();
    assert!(!out.exists());
    assert_eq!(set.finish().unwrap(), ["a.txt"]);
    assert_eq!(fs::read(out.join("a.txt")).unwrap(), b"a");
    assert_eq!(fs::read_dir(place.0.join("deep/er")).unwrap().count(), 1);
}

#[test]
fn given_up_leaves_nothing() {
    let place = Place::new("nothing");
    let mut set = ResultSet::begin(&place.0.join("deep/out"), Room::Empty, Kind::Plan).unwrap();
    set.write("a.txt", b"a").unwrap();
    drop(set);
    assert_eq!(place.names(), Vec::<String>::new());
}

#[test]
fn what_is_there_stays() {
    let place = Place::new("stays");
    fs::write(place.0.join("mine.txt"), "mine").unwrap();
    fs::write(place.0.join("a.txt"), "old").unwrap();
    assert!(ResultSet::begin(&place.0, Room::Empty, Kind::Plan).is_err());
    let mut set = ResultSet::begin(&place.0, Room::Beside, Kind::Other).unwrap();
    set.write("a.txt", b"new").unwrap();
    assert!(set.finish().is_err());
    assert_eq!(fs::read(place.0.join("a.txt")).unwrap(), b"old");
    let mut set = ResultSet::begin(&place.0, Room::Any, Kind::Other).unwrap();
    set.write("a.txt", b"new").unwrap();
    set.finish().unwrap();
    assert_eq!(fs::read(place.0.join("a.txt")).unwrap(), b"new");
    assert_eq!(place.names(), ["a.txt", "mine.txt"]);
}

#[test]
fn a_move_that_fails_is_undone() {
    let place = Place::new("undone");
    fs::write(place.0.join("a.txt"), "old").unwrap();
    let mut set = ResultSet::begin(&place.0, Room::Any, Kind::Other).unwrap();
    set.write("a.txt", b"new").unwrap();
    set.write("b.txt", b"new").unwrap();
    // The second file vanishes from the draft, so that its move must fail.
    fs::remove_file(set.draft.path.join("new/b.txt")).unwrap();
    assert!(set.finish().is_err());
    assert_eq!(fs::read(place.0.join("a.txt")).unwrap(), b"old");
    assert_eq!(place.names(), ["a.txt"]);
}

/// A plan's set with these files, each holding its own name and `words`.
fn plan_set(folder: &Path, names: &[&str], words: &str) -> ResultSet {
    let mut set = ResultSet::begin(folder, Room::Any, Kind::Plan).unwrap();
    for name in names {
        set.write(name, format!("{name} {words}").as_bytes())
            .unwrap();
    }
    set
}

#[test]
fn an_empty_folder_is_filled_not_replaced() {
    let place = Place::new("empty");
    let mut set = ResultSet::begin(&place.0, Room::Empty, Kind::Other).unwrap();
    set.write("a.txt", b"a").unwrap();
    set.finish().unwrap();
    assert_eq!(place.names(), ["a.txt"]);
}

#[test]
fn a_newer_plan_takes_away_what_the_older_one_wrote_and_nothing_else() {
    let place = Place::new("older");
    let older = ["map-a.png", "map-a_2.png", "map-a_3.png", "motif-b.svg"];
    plan_set(&place.0, &older, "old").finish().unwrap();
    fs::write(place.0.join("map-mine.png"), "mine").unwrap();
    // Changed since: somebody's own now.
    fs::write(place.0.join("map-a_3.png"), "with my notes").unwrap();
    plan_set(&place.0, &["map-a.png"], "new").finish().unwrap();
    let left = [LIST_FILE, "map-a.png", "map-a_3.png", "map-mine.png"];
    assert_eq!(place.names(), left);
}

#[test]
fn new_drawings_take_the_place_of_their_own_kind() {
    let place = Place::new("kinds");
    let older = ["map-a.png", "map-a_2.png", "motif-b.png", "map-a.csv"];
    plan_set(&place.0, &older, "old").finish().unwrap();
    let mut set = ResultSet::begin(&place.0, Room::Any, Kind::Drawings).unwrap();
    set.write("map-a.png", b"new").unwrap();
    set.finish().unwrap();
    let left = [LIST_FILE, "map-a.csv", "map-a.png", "motif-b.png"];
    assert_eq!(place.names(), left);
    // They belong to the plan now: a newer one takes them away too.
    plan_set(&place.0, &["plan.json"], "new").finish().unwrap();
    assert_eq!(place.names(), [LIST_FILE, "plan.json"]);
}

#[test]
fn a_list_from_elsewhere_removes_nothing_elsewhere() {
    let place = Place::new("elsewhere");
    let out = place.0.join("out");
    fs::create_dir(&out).unwrap();
    fs::write(place.0.join("mine.txt"), "mine").unwrap();
    let mut list = List::default();
    list.add("../mine.txt", b"mine");
    fs::write(out.join(LIST_FILE), list.to_bytes().unwrap()).unwrap();
    plan_set(&out, &["plan.json"], "new").finish().unwrap();
    assert!(place.0.join("mine.txt").exists());
}

#[test]
fn a_finished_plan_is_kept_aside_where_its_folder_cannot_take_it() {
    let place = Place::new("aside");
    let out = place.0.join("out");
    let mut set = ResultSet::begin(&out, Room::Empty, Kind::Plan).unwrap();
    set.write("plan.json", b"new").unwrap();
    // Somebody else makes the folder and puts something there.
    fs::create_dir(&out).unwrap();
    fs::write(out.join("mine.txt"), "mine").unwrap();
    let told = format!("{:?}", set.finish().unwrap_err());
    assert!(
        told.contains("in the meantime") && told.contains("out-2"),
        "{told}"
    );
    assert_eq!(place.names(), ["out", "out-2"]);
    assert!(place.0.join("out-2/plan.json").exists());
    assert_eq!(fs::read_dir(&out).unwrap().count(), 1);
}

#[test]
fn a_folder_of_the_same_name_is_not_replaced() {
    let place = Place::new("folder");
    fs::create_dir(place.0.join("a.txt")).unwrap();
    fs::write(place.0.join("a.txt/mine"), "mine").unwrap();
    let mut set = ResultSet::begin(&place.0, Room::Any, Kind::Other).unwrap();
    set.write("0.txt", b"new").unwrap();
    set.write("a.txt", b"new").unwrap();
    assert!(set.finish().is_err());
    assert_eq!(place.names(), ["a.txt"]);
}

/// A run that is killed after any number of moves, going on or going back, is ended by the
/// next: all files are the newer ones, or all the older ones.
#[test]
fn whoever_comes_next_ends_what_was_cut_off() {
    for (file, newer) in [("steps", true), ("back", false)] {
        for moved in 0..=3 {
            let place = Place::new(&format!("cut-{file}-{moved}"));
            plan_set(&place.0, &["a", "b", "gone"], "old")
                .finish()
                .unwrap();
            let set = plan_set(&place.0, &["a", "b", "c"], "new");
            // What `steps::take` does until it is killed.
            let path = set.draft.path.clone();
            for name in ["a", "b", "gone"] {
                fs::hard_link(place.0.join(name), path.join("old").join(name)).unwrap();
            }
            let steps = r#"{"put": [{"name": "a", "had": true}, {"name": "b", "had": true},
                {"name": "c", "had": false}], "remove": ["gone"]}"#;
            for name in ["a", "b", "c"].iter().take(moved) {
                fs::rename(path.join("new").join(name), place.0.join(name)).unwrap();
            }
            fs::write(path.join(file), steps).unwrap();
            // A living run's draft is left alone.
            sweep_up(&place.0);
            assert!(path.exists());
            // Killed: nobody holds the lock, and nothing is tidied up.
            let ResultSet { draft, .. } = &set;
            draft.lock.unlock().unwrap();
            sweep_up(&place.0);
            std::mem::forget(set);
            let words = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
            let age = if newer { "new" } else { "old" };
            assert_eq!(words("a"), format!("a {age}"));
            assert_eq!(words("b"), format!("b {age}"));
            let names: &[&str] = if newer {
                &[LIST_FILE, "a", "b", "c"]
            } else {
                &[LIST_FILE, "a", "b", "gone"]
            };
            assert_eq!(place.names(), names, "{file} {moved}");
        }
    }
}

/// Killed while the draft itself was removed: it can still be told for one.
#[test]
fn a_draft_half_removed_is_swept_up() {
    let place = Place::new("half");
    let set = plan_set(&place.0, &["a"], "new");
    for folder in ["new", "old"] {
        fs::remove_dir_all(set.draft.path.join(folder)).unwrap();
    }
    set.draft.lock.unlock().unwrap();
    sweep_up(&place.0);
    std::mem::forget(set);
    assert_eq!(place.names(), Vec::<String>::new());
}
