//! Lists of evenings as they are typed, and evenings by name.

use super::{said, text};
use rakelight::scene::{DateItem, DateList, Day};

pub fn run(data: &[u8]) {
    let text = text(data);
    for read in [DateList::parse, DateList::parse_times] {
        match read(text) {
            Ok(list) => {
                let shown = list.to_string();
                assert_eq!(read(&shown).as_ref(), Ok(&list), "{shown}");
                for item in list.items() {
                    if let DateItem::Evenings([first, last]) = item {
                        assert!(first <= last && list.has_evening(*first));
                    }
                }
            }
            Err(error) => said::check_error(&error),
        }
    }
    if let Err(error) = text.parse::<Day>() {
        said::check_error(&error);
    }
}
