//! The link form of a plan: a text for the fragment of a URL, so that a whole plan travels in a line.
//!
//! `d1.` to `d4.` (the version), then base64url without padding (RFC 4648 section 5) of: a CRC-32 of all that follows, unpacked;
//! the length of the coded numbers and one more, or 0 where there are none; these numbers ([`coder`]); and the text as a
//! DEFLATE stream (RFC 1951, with a preset dictionary). Both together are the plan in columns ([`pack`]). What is read
//! passes all checks of a plan's file, so a link can't bring in anything that a file can't. Sizes are capped before
//! anything is unpacked.
//!
//! A plan with a book of its own goes as version 2: the book's types as what they differ in from types of built-in books
//! ([`own`]). Any other plan goes as version 1, to the byte as ever, and every link of version 1 opens as ever.
//!
//! A plan with a site goes as version 3: the version of the rest in one byte, the length of the coded site in seven bits a
//! byte, the site and the places in it ([`on_site`]), and then the plan without them as in that other version. The sum is
//! over all of it.
//!
//! A plan with a walk or an exercise goes as version 4: a sum over what follows up to the plan; the version of the plan
//! without them in one byte; the length of the coded walk and exercise, and these ([`teaching`]); and then the plan without
//! them as in that other version, with its own sum.
//!
//! A world has a link form of its own ([`world_to_fragment`]), which begins with `w1.` and has no columns.

mod coder;
mod deflate;
mod on_site;
mod own;
mod pack;
mod second;
mod slots;
mod teaching;
mod words;
mod world;

pub use world::{WorldLinkError, world_from_link, world_to_fragment};

use super::{Plan, Salvage};
use crate::read::Faults;
use base64::Engine;
use base64::alphabet::URL_SAFE;
use base64::engine::{GeneralPurpose, GeneralPurposeConfig};
use deflate::Broken;
use serde_json::Value;
use std::fmt;

/// The version of a link with a site in it.
const SITE: u64 = 3;
/// The version of a link with a walk or an exercise in it.
const TEACHING: u64 = 4;
/// The latest version of the link form that this program reads and writes; it reads all before it.
pub const VERSION: u64 = 4;
/// The most characters of a link that are looked at.
pub const LONGEST: usize = 2_000_000;
/// The most bytes that a link may unpack to.
pub const LARGEST: usize = 4 << 20;

/// Why a link can't be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkError {
    /// The text holds no plan.
    NotALink,
    /// It is of a later version.
    Newer(u64),
    /// Its end is missing.
    Truncated,
    /// It is not as it was written.
    Damaged,
    /// It has more characters than are read.
    TooLong(usize),
    /// It would unpack to more than is read.
    TooLarge,
    /// Part types in it have other ports in this program's book.
    OtherBook,
    /// What it unpacks to is no plan.
    NoPlan(Faults),
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let again = "Ask for it again, or for the plan as a file.";
        match self {
            LinkError::NotALink => write!(
                f,
                "This is no link to a plan: nothing in it starts with d1. to d{VERSION}. after a #. Copy the whole link and try again."
            ),
            LinkError::Newer(version) => write!(
                f,
                "This link is of version {version}, made by a newer Duskline; this one reads versions up to {VERSION}. Update it, or ask for the plan as a file."
            ),
            LinkError::Truncated => write!(
                f,
                "This link is cut off: its end is missing, as happens where a message may only be so long. {again}"
            ),
            LinkError::Damaged => write!(
                f,
                "This link is damaged: some of its characters are not as they were written. {again}"
            ),
            LinkError::TooLong(length) => write!(
                f,
                "This link has {length} characters, and at most {LONGEST} are read. Ask for the plan as a file."
            ),
            LinkError::TooLarge => write!(
                f,
                "This link would unpack to more than {} MiB, which no plan needs. Nothing of it was opened.",
                LARGEST >> 20
            ),
            LinkError::OtherBook => write!(
                f,
                "This link was made with another edition of the parts book, whose ports differ from this one's. Ask for the plan as a file."
            ),
            LinkError::NoPlan(faults) => match faults.first() {
                Some(fault) => write!(f, "This link unpacks, but not to a plan: {fault}."),
                None => write!(f, "This link unpacks, but not to a plan."),
            },
        }
    }
}

impl std::error::Error for LinkError {}

/// Base64url that takes no padding; stray bits at the end are left to the checksum.
const BASE64: GeneralPurpose = GeneralPurpose::new(
    &URL_SAFE,
    GeneralPurposeConfig::new()
        .with_encode_padding(false)
        .with_decode_padding_mode(base64::engine::DecodePaddingMode::RequireNone)
        .with_decode_allow_trailing_bits(true),
);

/// What stands before the version in the link form of a plan.
const PLAN: char = 'd';

/// The plan as the text of a URL's fragment, without the `#`.
pub fn to_fragment(plan: &Plan) -> String {
    let whole = |link: &String| {
        let back = from_link(link).ok();
        back.is_some_and(|read| read.faults.is_empty() && read.plan == *plan)
    };
    // What does not come back as it was, such as a room that the site has not, goes as it stands in the file.
    let taught = teaching::has_any(plan).then(|| with_teaching(plan));
    let on_site = || on_site::has_any(plan).then(|| text_of(PLAN, with_site(plan)));
    taught
        .filter(whole)
        .or_else(|| on_site().filter(whole))
        .unwrap_or_else(|| {
            let (version, packed) = packing(plan);
            fragment(PLAN, version, &packed)
        })
}

/// The link of a plan with a walk or an exercise.
fn with_teaching(plan: &Plan) -> String {
    let bare = plan.state();
    let (version, inner) = match on_site::has_any(&bare) {
        true => with_site(&bare),
        false => {
            let (version, packed) = packing(&bare);
            bytes_of(version, &packed, None)
        }
    };
    let mut body = vec![version as u8];
    let taught = teaching::pack(plan);
    put_length(&mut body, taught.len());
    body.extend(taught);
    let mut bytes = deflate::crc32(&body).to_be_bytes().to_vec();
    bytes.extend(body);
    bytes.extend(inner);
    text_of(PLAN, (TEACHING, bytes))
}

/// The version and the bytes of a plan with a site.
fn with_site(plan: &Plan) -> (u64, Vec<u8>) {
    let (version, packed) = packing(&on_site::without(plan));
    bytes_of(version, &packed, Some(&on_site::pack(plan)))
}

/// The plan as columns, of the version that takes its book.
fn packing(plan: &Plan) -> (u64, pack::Packed) {
    let first = || (1, pack::pack(plan));
    match plan.book.is_built_in() {
        true => first(),
        false => second::pack(plan).map_or_else(first, |packed| (2, packed)),
    }
}

/// A packing as the text of a URL's fragment.
fn fragment(mark: char, version: u64, packed: &pack::Packed) -> String {
    text_of(mark, bytes_of(version, packed, None))
}

/// Bytes with their version as the text of a URL's fragment.
fn text_of(mark: char, (version, bytes): (u64, Vec<u8>)) -> String {
    format!("{mark}{version}.{}", BASE64.encode(bytes))
}

/// The version and the bytes of a packing, with a coded site before it where there is one.
fn bytes_of(version: u64, packed: &pack::Packed, site: Option<&[u8]>) -> (u64, Vec<u8>) {
    let mut body = Vec::new();
    let shown = match site {
        Some(site) => {
            body.push(version as u8);
            put_length(&mut body, site.len());
            body.extend(site);
            SITE
        }
        None => version,
    };
    put_length(
        &mut body,
        packed.numbers.as_ref().map_or(0, |n| n.len() + 1),
    );
    body.extend(packed.numbers.iter().flatten());
    let mut bytes = sum(&body, &packed.text).to_vec();
    bytes.extend(body);
    bytes.extend(deflate::pack(packed.text.as_bytes(), dictionary(version)));
    (shown, bytes)
}

/// A length, seven bits a byte, the lowest first.
fn put_length(to: &mut Vec<u8>, mut length: usize) {
    while length > 127 {
        to.push(length as u8 | 128);
        length >>= 7;
    }
    to.push(length as u8);
}

/// A length as [`put_length`] wrote it, and how many bytes it takes.
fn length(bytes: &[u8]) -> Option<(usize, usize)> {
    let (mut length, mut head) = (0usize, 0);
    for shift in [0, 7, 14, 21] {
        let byte = *bytes.get(head)?;
        head += 1;
        length |= usize::from(byte & 127) << shift;
        if byte < 128 {
            break;
        }
    }
    Some((length, head))
}

/// The text that both ends know.
fn dictionary(version: u64) -> &'static [u8] {
    match version {
        1 => words::DICTIONARY,
        _ => words::second_dictionary(),
    }
}

/// The checksum over what stands before the text, and the text.
fn sum(body: &[u8], text: &str) -> [u8; 4] {
    deflate::crc32(&[body, text.as_bytes()].concat()).to_be_bytes()
}

/// What stands before the text, the numbers alone, and the text's stream.
type Split<'b> = (&'b [u8], Option<&'b [u8]>, &'b [u8]);

/// Parts the coded numbers, with their length before them, from the stream; and the numbers alone.
fn part(bytes: &[u8]) -> Option<Split<'_>> {
    let (length, head) = length(bytes)?;
    let end = head + length.saturating_sub(1);
    let (body, stream) = (bytes.get(..end)?, &bytes[end..]);
    Some((body, (length > 0).then(|| &body[head..]), stream))
}

/// What a link carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carried {
    /// A plan, to be opened by [`from_link`].
    Plan,
    /// A world, to be opened by [`world_from_link`].
    World,
}

/// What the text carries if it is a link, whole or not; none where it looks like no link at all.
pub fn carried(text: &str) -> Option<Carried> {
    let plan = body(text, PLAN).map(|_| Carried::Plan);
    plan.or_else(|| body(text, world::WORLD).map(|_| Carried::World))
}

/// The version and what follows it, of a URL, a fragment or its bare text that begins with this mark.
fn body(text: &str, mark: char) -> Option<(u64, &str)> {
    let text = text.rsplit_once('#').map_or(text, |(_, after)| after);
    let (version, body) = text.trim_start().strip_prefix(mark)?.split_once('.')?;
    let digits = (1..=9).contains(&version.len()) && version.bytes().all(|b| b.is_ascii_digit());
    Some((version.parse().ok().filter(|_| digits)?, body))
}

/// The plan that a link, a fragment or its bare text carries.
///
/// White space within it and stops behind it, as mail and chat programs put there, do no harm. The faults of the
/// [`Salvage`] are those of the plan within a link that is whole.
pub fn from_link(link: &str) -> Result<Salvage, LinkError> {
    let (version, bytes) = decode(link, PLAN, VERSION)?;
    if version != TEACHING {
        let value = value_of(version, &bytes)?;
        return super::read::salvage_value(&value).map_err(LinkError::NoPlan);
    }
    let (version, taught, inner) = split_teaching(&bytes)?;
    let mut value = value_of(version, inner)?;
    let bare = super::read::salvage_value(&value).map_err(LinkError::NoPlan)?;
    let map = value.as_object_mut();
    map.and_then(|map| teaching::unpack(taught, &bare.plan, map))
        .ok_or_else(|| LinkError::NoPlan(Faults::new()))?;
    super::read::salvage_value(&value).map_err(LinkError::NoPlan)
}

/// The file of the plan in these bytes of a version up to [`SITE`].
fn value_of(version: u64, bytes: &[u8]) -> Result<Value, LinkError> {
    let Opened {
        version,
        packed,
        site,
    } = open(version, bytes, PLAN)?;
    let unpacked = match version {
        1 => pack::unpack(&packed),
        _ => second::unpack(&packed),
    };
    let mut value = unpacked.map_err(|odd| match odd {
        pack::Odd::Wrong => LinkError::NoPlan(Faults::new()),
        pack::Odd::Ports => LinkError::OtherBook,
    })?;
    if let Some(site) = site {
        let map = value.as_object_mut();
        map.and_then(|map| on_site::unpack(&site, map))
            .ok_or_else(|| LinkError::NoPlan(Faults::new()))?;
    }
    Ok(value)
}

/// What a link holds.
struct Opened {
    /// The version of the packing.
    version: u64,
    packed: pack::Packed,
    /// The coded site, if there is one.
    site: Option<Vec<u8>>,
}

/// The version and the bytes of a link with this mark.
fn decode(link: &str, mark: char, newest: u64) -> Result<(u64, Vec<u8>), LinkError> {
    if link.len() > LONGEST {
        return Err(LinkError::TooLong(link.chars().count()));
    }
    let (version, body) = body(link, mark).ok_or(LinkError::NotALink)?;
    match version {
        0 => return Err(LinkError::NotALink),
        old if old <= newest => {}
        newer => return Err(LinkError::Newer(newer)),
    }
    let mut text: String = body.chars().filter(|c| !c.is_ascii_whitespace()).collect();
    text.truncate(
        text.trim_end_matches(['.', ',', ';', ':', '!', '?', ')', ']', '>', '"', '\''])
            .len(),
    );
    match BASE64.decode(&text) {
        Ok(bytes) if bytes.len() > 4 => Ok((version, bytes)),
        Ok(_) | Err(base64::DecodeError::InvalidLength(_)) => Err(LinkError::Truncated),
        Err(_) => Err(LinkError::Damaged),
    }
}

/// What bytes of this version hold.
fn open(version: u64, bytes: &[u8], mark: char) -> Result<Opened, LinkError> {
    let (check, rest) = bytes.split_at_checked(4).ok_or(LinkError::Truncated)?;
    let (version, site, after) = match (version, mark) {
        (SITE, PLAN) => split_site(rest)?,
        _ => (version, None, 0),
    };
    let (body, numbers, stream) = part(&rest[after..]).ok_or(LinkError::Truncated)?;
    let body = &rest[..after + body.len()];
    let text =
        deflate::unpack(stream, LARGEST, dictionary(version)).map_err(|broken| match broken {
            Broken::Short => LinkError::Truncated,
            Broken::Wrong => LinkError::Damaged,
            Broken::Large => LinkError::TooLarge,
        })?;
    let text = String::from_utf8(text).map_err(|_| LinkError::Damaged)?;
    if sum(body, &text) != check {
        return Err(LinkError::Damaged);
    }
    let packed = pack::Packed {
        numbers: numbers.map(<[u8]>::to_vec),
        text,
    };
    Ok(Opened {
        version,
        packed,
        site: site.map(<[u8]>::to_vec),
    })
}

/// The version of the plan behind a walk and an exercise, these coded, and the plan's bytes.
fn split_teaching(bytes: &[u8]) -> Result<(u64, &[u8], &[u8]), LinkError> {
    let (check, rest) = bytes.split_at_checked(4).ok_or(LinkError::Truncated)?;
    let version = *rest.first().ok_or(LinkError::Truncated)?;
    let (length, head) = length(&rest[1..]).ok_or(LinkError::Truncated)?;
    let from = 1 + head;
    let taught = rest.get(from..from + length).ok_or(LinkError::Truncated)?;
    let (body, inner) = rest.split_at(from + length);
    if deflate::crc32(body).to_be_bytes() != check || !(1..=SITE as u8).contains(&version) {
        return Err(LinkError::Damaged);
    }
    Ok((version.into(), taught, inner))
}

/// The version of the packing behind a site, the coded site, and where the packing begins.
fn split_site(bytes: &[u8]) -> Result<(u64, Option<&[u8]>, usize), LinkError> {
    let version = *bytes.first().ok_or(LinkError::Truncated)?;
    if !(1..SITE as u8).contains(&version) {
        return Err(LinkError::Damaged);
    }
    let (length, head) = length(&bytes[1..]).ok_or(LinkError::Truncated)?;
    let from = 1 + head;
    let site = bytes.get(from..from + length).ok_or(LinkError::Truncated)?;
    Ok((version.into(), Some(site), from + length))
}

#[cfg(test)]
mod tests;
