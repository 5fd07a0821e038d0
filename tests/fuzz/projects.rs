//! The examples' project files, spoilt line by line: the reader answers each with a
//! project or with faults that have a place, and what it takes can be laid.
//!
//! `STRIPELAY_FUZZ_CASES` is the number of files for the reader in a run of its own; a
//! twentieth of them is laid, where the reader takes it.

use crate::watch::{MOST_TIME, alone, busy, rng};
use std::fmt::Write as _;
use std::panic::catch_unwind;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{Control, Effort};
use stripe_core::plan::{Error, make};
use stripe_core::project::Project;

const READ_CASES: u64 = 8_000;
/// One case in so many is laid as well, where the reader takes it.
const LAID_STEP: u64 = 20;
/// What the whole run may take of memory: cases are not kept, so one that takes more shows.
const MEMORY_LIMIT_MB: u64 = 500;

const EXAMPLES: [&str; 6] = [
    include_str!("../../data/harbour/harbour.toml"),
    include_str!("../../data/capstan/capstan.toml"),
    include_str!("../../data/galley/galley.toml"),
    include_str!("../../data/chartroom/chartroom.toml"),
    include_str!("../../data/skerry/skerry.toml"),
    include_str!("../../data/slipway/slipway.toml"),
];

/// Values that stand where another one stood.
const VALUES: [&str; 46] = [
    "0",
    "-0.0",
    "-1",
    "1",
    "2",
    "3",
    "7",
    "1e-9",
    "0.001",
    "1e18",
    "-1e300",
    "9223372036854775807",
    "9223372036854775808",
    "nan",
    "inf",
    "-inf",
    "360",
    "359.999999999",
    "0.5",
    "99999",
    "true",
    "false",
    "[]",
    "[[]]",
    "{}",
    "[1, 2, 3]",
    "[[0, 0], [0, 0], [0, 0]]",
    "\"\"",
    "\" \"",
    "\"free\"",
    "\"own\"",
    "\"rays\"",
    "\"rings\"",
    "\"bias\"",
    "\"crosswise\"",
    "\"12 1/2 in\"",
    "\"1/0 in\"",
    "\"1 000 000 km\"",
    "\"-3 cm\"",
    "\"½\"",
    "\"3 ½ ″\"",
    "\"#1f3a5f\"",
    "\"\\u0000\"",
    "\"\\u202Egnp.exe\"",
    "\"漢字 и кириллица\"",
    "1979-05-27T07:32:00Z",
];

const LETTERS: [&str; 14] = [
    "\"", "'", "[", "]", "{", "}", "=", "#", ".", "\\", "\u{0}", "\u{feff}", "é", "🧵",
];

/// A case is known by its number alone.
fn spoilt(case: u64) -> String {
    let mut rng = rng(case as usize + 1);
    let text = rng.pick(&EXAMPLES);
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    if !rng.once_in(8) {
        // Comments hide the lines that matter.
        lines.retain(|line| !line.trim_start().starts_with('#') && !line.trim().is_empty());
    }
    for _ in 0..rng.pick(&[1, 1, 1, 2, 3, 6]) {
        spoil(&mut lines, &mut rng);
    }
    let mut text = lines.join(rng.pick(&["\n", "\n", "\n", "\r\n"]));
    if rng.once_in(20) {
        let mut end = rng.whole(0, text.len());
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        text.truncate(end);
    }
    text
}

fn spoil(lines: &mut Vec<String>, rng: &mut Rng) {
    if lines.is_empty() {
        return;
    }
    let at = rng.whole(0, lines.len() - 1);
    let other = rng.whole(0, lines.len() - 1);
    match rng.whole(0, 15) {
        0 => drop(lines.remove(at)),
        1 => lines.insert(other, lines[at].clone()),
        2 => lines.swap(at, other),
        3 => {
            let table = table_at(lines, at);
            lines.drain(table);
        }
        4 => {
            let table: Vec<String> = lines[table_at(lines, at)].to_vec();
            let begin = table_at(lines, other).start;
            lines.splice(begin..begin, table);
        }
        5 => {
            let headers = [table_at(lines, at).start, table_at(lines, other).start];
            lines.swap(headers[0], headers[1]);
        }
        6 => {
            let line = &mut lines[at];
            let mut place = rng.whole(0, line.len());
            while !line.is_char_boundary(place) {
                place -= 1;
            }
            line.insert_str(place, rng.pick(&LETTERS));
        }
        7 => lines[at] = nested(rng),
        8 => {
            let (word, instead) = rng.pick(&[
                (" in\"", " cm\""),
                (" in\"", " yd\""),
                (" in\"", " furlongs\""),
                (" in\"", "\""),
                ("\"in\"", "\"mm\""),
                ("[[", "["),
                ("]]", "]"),
                ("[", "[["),
                ("motif.", "fabric."),
                ("fabric", "motif"),
                ("quilt", "making"),
                ("deck", "sea"),
            ]);
            lines[at] = lines[at].replace(word, instead);
        }
        9 => {
            // A value from another line, of whatever kind.
            let value = lines[other].split_once('=').map(|(_, v)| v.to_owned());
            if let (Some(value), Some((key, _))) = (value, lines[at].split_once('=')) {
                lines[at] = format!("{key}={value}");
            }
        }
        10 => {
            let from = rng.pick(&EXAMPLES);
            let foreign: Vec<&str> = from.lines().collect();
            let line = foreign[rng.whole(0, foreign.len() - 1)];
            lines.insert(at, line.to_owned());
        }
        11 | 12 => {
            if let Some((key, _)) = lines[at].split_once('=') {
                lines[at] = format!("{key}= {}", rng.pick(&VALUES));
            }
        }
        _ => {
            let number = rng.pick(&VALUES[..20]);
            change_number(&mut lines[at], number, rng);
        }
    }
}

/// The lines from a table's header to the next one's.
fn table_at(lines: &[String], at: usize) -> std::ops::Range<usize> {
    let is_header = |line: &String| line.starts_with('[');
    let start = lines[..=at].iter().rposition(is_header).unwrap_or(0);
    let next = lines[at + 1..].iter().position(is_header);
    start..next.map_or(lines.len(), |n| at + 1 + n)
}

/// One of the numbers of a line, wherever it stands, becomes another.
fn change_number(line: &mut String, number: &str, rng: &mut Rng) {
    let mut places: Vec<std::ops::Range<usize>> = vec![];
    for (i, c) in line.char_indices() {
        if c == '#' {
            break;
        }
        if c.is_ascii_digit() {
            match places.last_mut() {
                Some(last) if last.end == i => last.end = i + 1,
                _ => places.push(i..i + 1),
            }
        }
    }
    if !places.is_empty() {
        let place = places[rng.whole(0, places.len() - 1)].clone();
        let number = if rng.once_in(2) {
            number.to_owned()
        } else {
            rng.whole(0, 60).to_string()
        };
        line.replace_range(place, &number);
    }
}

/// What goes deeper than anything a maker writes.
fn nested(rng: &mut Rng) -> String {
    let depth = rng.pick(&[3, 50, 100, 1000, 20_000]);
    match rng.whole(0, 3) {
        0 => format!("points = {}{}", "[".repeat(depth), "]".repeat(depth)),
        1 => format!("turn = {}1{}", "{ a = ".repeat(depth), " }".repeat(depth)),
        2 => format!("[{}a]", "a.".repeat(depth)),
        _ => format!("{}a = 1", "a.".repeat(depth)),
    }
}

/// Reads a text and looks at what comes of it.
fn read(text: &str) -> Result<Option<Project>, String> {
    let faults = match Project::read(text) {
        Ok(project) => return Ok(Some(project)),
        Err(faults) => faults,
    };
    if faults.is_empty() {
        return Err("refused without a fault".to_owned());
    }
    for fault in &faults {
        // A line can be named for a place within the text, between two characters.
        if fault.span.start > fault.span.end || text.get(fault.span.clone()).is_none() {
            return Err(format!("a fault without a place: {fault:?}"));
        }
        if fault.message.trim().is_empty() || fault.help.trim().is_empty() {
            return Err(format!("a fault that says nothing: {fault:?}"));
        }
    }
    Ok(None)
}

/// Lays a project with next to no search.
fn lay(project: &Project) -> Result<(), String> {
    let effort = Effort {
        seed: 1,
        streams: 1,
        rounds: 1,
        work: 1_000,
    };
    match make(project, &effort, &Control::default()) {
        Ok(_) => Ok(()),
        Err(Error::Unverified(findings)) => Err(format!("no plan: {}", findings[0].words)),
        Err(Error::Project(found)) => Err(format!("read, but not valid: {}", found[0])),
        Err(fault) if fault.to_string().trim().is_empty() => Err("a fault without words".into()),
        Err(_) => Ok(()),
    }
}

/// The most memory that this process ever had (MB), where the system says so.
fn peak_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kb: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024)
}

/// Runs cases one after the other; all that fail are named with their text. One that
/// does not end fails the test, which cannot end it.
fn run(
    cases: impl Iterator<Item = u64> + Send + 'static,
    one: fn(&str) -> Result<bool, String>,
) -> u64 {
    let _alone = alone();
    let (send, receive) = channel();
    std::thread::spawn(move || {
        for case in cases {
            let text = spoilt(case);
            if send.send((case, None)).is_err() {
                return;
            }
            let outcome = catch_unwind(|| one(&text)).unwrap_or_else(|_| Err("a panic".into()));
            if send.send((case, Some(outcome))).is_err() {
                return;
            }
        }
    });
    let (mut current, mut begun, mut taken, mut wrong) = (0, busy(), 0, vec![]);
    let mut peak = peak_mb();
    loop {
        match receive.recv_timeout(Duration::from_millis(50)) {
            Ok((case, None)) => (current, begun) = (case, busy()),
            Ok((case, Some(outcome))) => {
                let now = peak_mb();
                let outcome = match outcome {
                    Ok(_) if busy() - begun > MOST_TIME => Err("it took too long".to_owned()),
                    Ok(_) if now > peak && now > Some(MEMORY_LIMIT_MB) => {
                        Err(format!("{now:?} MB of memory"))
                    }
                    outcome => outcome,
                };
                peak = now;
                match outcome {
                    Ok(was_taken) => taken += u64::from(was_taken),
                    Err(fault) => wrong.push((case, fault)),
                }
            }
            Err(RecvTimeoutError::Disconnected) => break,
            Err(RecvTimeoutError::Timeout) if busy() - begun < MOST_TIME => {}
            Err(RecvTimeoutError::Timeout) => {
                wrong.push((current, format!("not done after {MOST_TIME:?}")));
                break;
            }
        }
    }
    let mut report = String::new();
    for (i, (case, fault)) in wrong.iter().enumerate() {
        let _ = writeln!(report, "case {case}: {fault}");
        if i < 3 {
            let _ = writeln!(report, "{}\n", spoilt(*case));
        }
    }
    assert!(wrong.is_empty(), "{} cases failed\n{report}", wrong.len());
    taken
}

/// How many files are read.
fn read_cases() -> u64 {
    stripe_tests::asked("STRIPELAY_FUZZ_CASES", READ_CASES)
}

#[test]
fn every_spoilt_project_file_is_read_or_refused_with_places() {
    let cases = read_cases();
    let taken = run(0..cases, |text| read(text).map(|project| project.is_some()));
    // Were all refused, the mutations would be too coarse to reach what lies behind the reader.
    println!("{taken} of {cases} taken, peak {:?} MB", peak_mb());
    assert!(taken * 20 > cases, "only {taken} of {cases} were taken");
}

#[test]
fn what_the_reader_takes_is_laid() {
    let cases = read_cases();
    let step = LAID_STEP;
    let taken = run((0..cases).step_by(step as usize), |text| {
        let Some(project) = read(text)? else {
            return Ok(false);
        };
        lay(&project).map(|()| true)
    });
    println!("{taken} laid, peak {:?} MB", peak_mb());
    assert!(taken * step * 20 > cases, "only {taken} were laid");
}
