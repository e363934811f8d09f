//! How a case of bad input is written, and the files it makes.

use std::{fs, path::Path};

/// Files that stand in the folder of each case.
pub const GOOD: [(&str, &str); 3] = [
    (
        "good.toml",
        "name = \"Salt Pan\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\n",
    ),
    (
        "subject.toml",
        "name = \"Salt Pan\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\n\
         time_zone = \"Australia/Adelaide\"\n[subject]\nbearing_deg = 128\n",
    ),
    (
        "good.csv",
        "name,latitude_deg,longitude_deg\nSalt Pan,-31.4,139.2\n",
    ),
];

/// One case as it stands in its file.
#[derive(Debug, Default, Clone)]
pub struct Case {
    pub title: String,
    pub typed: String,
    pub files: Vec<Given>,
    pub standard_output: String,
    pub standard_error: String,
}

/// A file that a case makes: its heading and its lines.
#[derive(Debug, Clone)]
pub struct Given {
    pub heading: String,
    pub lines: Vec<String>,
}

impl Case {
    /// The same case with something else typed, and one file exchanged.
    pub fn with(&self, typed: String, file: Option<(usize, Given)>) -> Self {
        let mut case = self.clone();
        case.typed = typed;
        if let Some((index, given)) = file {
            case.files[index] = given;
        }
        case
    }
}

pub fn cases(path: &Path) -> Vec<Case> {
    let text = fs::read_to_string(path).expect("a file of cases");
    let mut cases: Vec<Case> = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let (mark, rest) = line.split_once(' ').unwrap_or((line, ""));
        if mark == "==" {
            cases.push(Case {
                title: rest.to_owned(),
                ..Case::default()
            });
            continue;
        }
        let place = || format!("{}:{}: {line}", path.display(), index + 1);
        let Some(case) = cases.last_mut() else {
            assert!(line.is_empty() || mark == "#", "{}", place());
            continue;
        };
        let whole = format!("{rest}\n");
        match mark {
            "" | "#" => assert!(rest.is_empty() || mark == "#", "{}", place()),
            "$" => case.typed = rest.to_owned(),
            ">" => case.standard_error += &whole,
            "<" => case.standard_output += &whole,
            "::" => case.files.push(Given {
                heading: rest.to_owned(),
                lines: Vec::new(),
            }),
            "|" | "@" => {
                let given = case
                    .files
                    .last_mut()
                    .unwrap_or_else(|| panic!("{}", place()));
                match GOOD.iter().find(|(name, _)| mark == "@" && *name == rest) {
                    Some((_, text)) => given.lines.extend(text.lines().map(str::to_owned)),
                    None => given.lines.push(rest.to_owned()),
                }
            }
            _ => panic!("{}", place()),
        }
    }
    cases
}

/// Text with its escapes turned into what they stand for.
fn unescaped(text: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('\\') {
        bytes.extend(before.bytes());
        let (kind, after) = after.split_at(1);
        rest = after;
        match kind {
            "e" => bytes.push(0x1b),
            "0" => bytes.push(0),
            "r" => bytes.push(b'\r'),
            "n" => bytes.push(b'\n'),
            "t" => bytes.push(b'\t'),
            "x" => {
                let (digits, after) = rest.split_at(2);
                bytes.push(u8::from_str_radix(digits, 16).expect("two digits"));
                rest = after;
            }
            "u" => {
                let (digits, after) = rest[1..].split_once('}').expect("a closing brace");
                let code = u32::from_str_radix(digits, 16).expect("digits");
                let character = char::from_u32(code).expect("a character");
                bytes.extend(character.to_string().bytes());
                rest = after;
            }
            _ => panic!("no escape: \\{kind} in {text}"),
        }
    }
    bytes.extend(rest.bytes());
    bytes
}

/// Puts a file into the folder; gives back what goes to standard input.
pub fn put(folder: &Path, given: &Given) -> Option<Vec<u8>> {
    let mut words = given.heading.splitn(4, ' ');
    let mut word = || words.next().unwrap_or_default();
    let (name, nature) = (word(), word());
    let path = folder.join(name);
    let plain = || -> Vec<u8> {
        let lines = given.lines.iter().map(|line| format!("{line}\n"));
        lines.collect::<String>().into_bytes()
    };
    let bytes = match nature {
        "directory" => {
            fs::create_dir(&path).expect("a folder");
            return None;
        }
        "hole" => {
            let size = word().parse().expect("a size");
            let file = fs::File::create(&path).expect("a file");
            file.set_len(size).expect("a hole");
            return None;
        }
        "reference" => {
            let root = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference");
            fs::read(std::path::Path::new(root).join(word())).expect("a reference file")
        }
        "repeat" => {
            let size: usize = word().parse().expect("a size");
            let unit = unescaped(word());
            let mut text = plain();
            // The repeated text goes on where the last line ends.
            text.pop();
            text.extend(unit.iter().cycle().take(size));
            text
        }
        "escaped" => given
            .lines
            .iter()
            .flat_map(|line| unescaped(line))
            .collect(),
        _ => plain(),
    };
    if name == "-" {
        return Some(bytes);
    }
    fs::write(&path, bytes).expect("a file");
    if nature == "unreadable" || nature == "readonly" {
        let mut permissions = fs::metadata(&path).expect("a file").permissions();
        permissions.set_readonly(true);
        #[cfg(unix)]
        if nature == "unreadable" {
            use std::os::unix::fs::PermissionsExt;
            permissions.set_mode(0o000);
        }
        fs::set_permissions(&path, permissions).expect("permissions");
    }
    None
}

/// What is typed, parted as a shell does it: double quotes keep spaces.
pub fn parted(typed: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quoted = false;
    for character in typed.chars() {
        match character {
            '"' => {
                quoted = !quoted;
                word.get_or_insert_default();
            }
            ' ' if !quoted => words.extend(word.take()),
            _ => word.get_or_insert_default().push(character),
        }
    }
    words.extend(word);
    words
}
