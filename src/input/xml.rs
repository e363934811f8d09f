//! The elements of an XML file, one at a time, in bounded memory: no document
//! tree, no entities but the five of XML, and nothing looked up anywhere else.

use super::fault::{Fault, Place, not_utf8};
use super::metered::{Metered, cannot_read};
use crate::scene::{ValueError, shown};
use quick_xml::errors::{Error, IllFormedError, SyntaxError};
use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};
use std::io::Read;

/// No tag, comment or run of text may be longer: room for a description with a
/// picture in it, and a file of any size stays out of memory.
const LONGEST_PIECE_BYTES: usize = 8 << 20;
/// Elements in each other: far more than any map's folders.
const DEEPEST: usize = 200;
/// More attributes than this in one tag mean nothing here.
const MOST_ATTRIBUTES: usize = 100;

/// What comes next in a file.
pub(super) enum Piece {
    /// A tag that opens an element.
    Open(Element),
    /// The end of the element opened last.
    Close,
    /// Text of the element opened last, or a part of it.
    Text(String),
}

/// The opening tag of an element, without prefixes of namespaces.
pub(super) struct Element {
    pub name: String,
    attributes: Vec<(String, String)>,
}

impl Element {
    pub fn attribute(&self, name: &str) -> Option<&str> {
        let mut named = self.attributes.iter().filter(|(of, _)| of == name);
        named.next().map(|(_, value)| value.as_str())
    }
}

/// Reads an XML file piece by piece.
pub(super) struct Xml<R> {
    file: String,
    reader: Reader<Metered<R>>,
    buffer: Vec<u8>,
    depth: usize,
    begun: bool,
    ended: bool,
}

impl<R: Read> Xml<R> {
    pub fn new(file: &str, reader: R) -> Self {
        let mut reader = Reader::from_reader(Metered::new(reader));
        reader.config_mut().expand_empty_elements = true;
        Self {
            file: file.to_owned(),
            reader,
            buffer: Vec::new(),
            depth: 0,
            begun: false,
            ended: false,
        }
    }

    pub fn file(&self) -> &str {
        &self.file
    }

    /// How many elements are open.
    pub fn depth(&self) -> usize {
        self.depth
    }

    /// The next piece with the line it begins on; nothing at the end of the file,
    /// and after a fault.
    ///
    /// # Errors
    ///
    /// What cannot be read as XML in UTF-8: reading ends there.
    pub fn next_piece(&mut self) -> Result<Option<(usize, Piece)>, Box<Fault>> {
        if self.ended {
            return Ok(None);
        }
        let read = self.read();
        self.ended = !matches!(read, Ok(Some(_)));
        read
    }

    /// Passes over the rest of the element opened last.
    ///
    /// # Errors
    ///
    /// As [`Xml::next_piece`].
    pub fn pass_over(&mut self) -> Result<(), Box<Fault>> {
        let within = self.depth;
        while self.depth >= within && self.next_piece()?.is_some() {}
        Ok(())
    }

    /// The text of the element opened last, without surrounding white space, if
    /// it is one of these; any other one is passed over. Of a text in many
    /// parts only the beginning is kept.
    ///
    /// # Errors
    ///
    /// As [`Xml::next_piece`].
    pub fn text_of(
        &mut self,
        tag: &Element,
        wanted: &[&str],
    ) -> Result<Option<String>, Box<Fault>> {
        if !wanted.contains(&tag.name.as_str()) {
            self.pass_over()?;
            return Ok(None);
        }
        let within = self.depth;
        let mut whole = String::new();
        while self.depth >= within {
            match self.next_piece()? {
                Some((_, Piece::Text(text))) if whole.len() < LONGEST_PIECE_BYTES => {
                    whole.push_str(&text);
                }
                Some(_) => {}
                None => break,
            }
        }
        Ok(Some(whole.trim().to_owned()))
    }

    /// The fault of a file whose outermost element is another one.
    pub fn other_root(&self, line: usize, found: &Element, wanted: &str, form: &str) -> Box<Fault> {
        let error = ValueError::new(
            &format!("<{}>", found.name),
            format!("<{wanted}>, the element of a {form} file"),
        );
        let known = ["gpx", "kml"].iter().find(|known| **known == found.name);
        let remedy = match known {
            Some(known) => format!("give the file a name that ends in .{known}"),
            None => "check that it is the right file".to_owned(),
        };
        self.fault(line, error.with_remedy(remedy))
    }

    fn fault(&self, line: usize, error: ValueError) -> Box<Fault> {
        Fault::boxed(&self.file, Place::line(line), None, error)
    }

    fn read(&mut self) -> Result<Option<(usize, Piece)>, Box<Fault>> {
        if !self.begun {
            self.begun = true;
            let begun = self.reader.get_mut().begin("XML as text");
            begun.map_err(|error| self.fault(1, error))?;
        }
        loop {
            self.buffer.clear();
            let metered = self.reader.get_mut();
            metered.allowance = LONGEST_PIECE_BYTES;
            let line = metered.line;
            let piece = match self.reader.read_event_into(&mut self.buffer) {
                Ok(event) => {
                    let depth = self.depth;
                    part(event, depth).map_err(|error| self.fault(line, error))?
                }
                Err(error) => {
                    let error = self.ill_formed(error);
                    return Err(self.fault(line, error));
                }
            };
            match &piece {
                Part::Nothing => continue,
                Part::End if self.depth > 0 => {
                    let error = ValueError::new(
                        "the end of the file within an element",
                        "an end tag for each element",
                    )
                    .with_remedy("the file is cut off: save or fetch it again");
                    let line = self.reader.get_mut().line;
                    return Err(self.fault(line, error));
                }
                Part::End => return Ok(None),
                Part::Piece(Piece::Open(_)) => self.depth += 1,
                Part::Piece(Piece::Close) => self.depth = self.depth.saturating_sub(1),
                Part::Piece(Piece::Text(_)) => {}
            }
            if self.depth > DEEPEST {
                let error = ValueError::new(
                    &format!("more than {DEEPEST} elements in each other"),
                    "the elements of a map",
                )
                .with_remedy("check that it is the right file");
                return Err(self.fault(line, error));
            }
            if let Part::Piece(piece) = piece {
                return Ok(Some((line, piece)));
            }
        }
    }

    /// What the reader found wrong, in our words.
    fn ill_formed(&mut self, error: Error) -> ValueError {
        match error {
            Error::Io(_) if self.reader.get_mut().allowance == 0 => ValueError::new(
                "a tag or a text of more than 8 MiB",
                "the elements of a map",
            )
            .with_remedy("check that it is the right file"),
            Error::Io(error) => cannot_read(&error),
            Error::Encoding(_) => not_utf8(b"\xff"),
            Error::Syntax(error) => {
                let within = match error {
                    SyntaxError::UnclosedComment => "a comment",
                    SyntaxError::UnclosedCData => "a CDATA section",
                    SyntaxError::UnclosedDoctype => "a document type",
                    SyntaxError::UnclosedPI | SyntaxError::UnclosedXmlDecl => "a declaration",
                    SyntaxError::UnclosedSingleQuotedAttributeValue
                    | SyntaxError::UnclosedDoubleQuotedAttributeValue => "a quotation",
                    SyntaxError::UnclosedTag | SyntaxError::InvalidBangMarkup => "a tag",
                };
                ValueError::new(&format!("the end of the file within {within}"), "its end")
                    .with_remedy("the file is cut off, or a sign is missing there")
            }
            Error::IllFormed(IllFormedError::MismatchedEndTag { expected, found }) => {
                let error = ValueError::new(
                    &format!("</{found}>"),
                    format!(
                        "</{}>, the end of the element that is open",
                        shown(&expected)
                    ),
                );
                error.with_remedy(
                    "close the elements in the order in which they were opened, the last one first",
                )
            }
            Error::IllFormed(IllFormedError::UnmatchedEndTag(found)) => {
                ValueError::new(&format!("</{found}>"), "an end tag after its start tag")
                    .with_remedy("take it out")
            }
            Error::IllFormed(IllFormedError::UnclosedReference) => bare_ampersand("&"),
            _ => ValueError::new("signs that are no XML", "well-formed XML")
                .with_remedy("save it again as XML"),
        }
    }
}

/// A part of a file: a piece, what is passed over, or its end.
enum Part {
    Piece(Piece),
    Nothing,
    End,
}

fn part(event: Event<'_>, depth: usize) -> Result<Part, ValueError> {
    Ok(match event {
        Event::Start(tag) | Event::Empty(tag) => Part::Piece(Piece::Open(element(&tag)?)),
        Event::End(_) => Part::Piece(Piece::Close),
        // Outside the elements there is only white space.
        Event::Text(_) | Event::CData(_) | Event::GeneralRef(_) if depth == 0 => Part::Nothing,
        Event::Text(text) => Part::Piece(Piece::Text(text.xml10_content().into_owned())),
        Event::CData(text) => Part::Piece(Piece::Text(text.xml10_content().into_owned())),
        Event::GeneralRef(reference) => {
            let name = reference.xml10_content();
            let of_number = match reference.is_char_ref() {
                true => reference
                    .resolve_char_ref()
                    .ok()
                    .flatten()
                    .map(String::from),
                false => quick_xml::escape::resolve_predefined_entity(&name).map(str::to_owned),
            };
            let text = of_number.ok_or_else(|| bare_ampersand(&format!("&{name};")))?;
            Part::Piece(Piece::Text(text))
        }
        Event::Decl(declaration) => {
            if let Some(encoding) = declaration.encoding() {
                let encoding = encoding.unwrap_or_default();
                let plain = ["utf-8", "utf8", "us-ascii", "ascii"];
                if !plain.iter().any(|ours| encoding.eq_ignore_ascii_case(ours)) {
                    let found = format!("encoding=\"{encoding}\"");
                    let error = ValueError::new(&found, "encoding=\"UTF-8\"");
                    return Err(error.with_remedy("save the file as UTF-8"));
                }
            }
            Part::Nothing
        }
        // Whatever a document type declares, no entity of it is known here.
        Event::DocType(_) | Event::PI(_) | Event::Comment(_) => Part::Nothing,
        Event::Eof => Part::End,
    })
}

fn element(tag: &BytesStart<'_>) -> Result<Element, ValueError> {
    let mut attributes = Vec::new();
    for attribute in tag.attributes().with_checks(false).take(MOST_ATTRIBUTES) {
        let attribute = attribute.map_err(|_| {
            ValueError::new(
                &format!("<{}>", tag.attributes_raw().trim()),
                "attributes as name=\"value\"",
            )
            .with_remedy("put each value in quotation marks")
        })?;
        let value = attribute.normalized_value(XmlVersion::Implicit1_0);
        let value = value.map_err(|_| bare_ampersand(&attribute.value))?;
        let name = attribute.key.local_name().as_ref().to_owned();
        attributes.push((name, value.into_owned()));
    }
    Ok(Element {
        name: tag.local_name().as_ref().to_owned(),
        attributes,
    })
}

fn bare_ampersand(found: &str) -> ValueError {
    ValueError::new(
        found,
        "one of &amp; &lt; &gt; &quot; &apos; or the number of a character",
    )
    .with_remedy("write &amp; for &")
}
