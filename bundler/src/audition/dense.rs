//! Bytes in the text of a page: 15 bits a character, in UTF-16.
//!
//! Base64 in UTF-8 carries 6 bits in 8; this carries 15 in 16, and so a quarter more sound in a page of the same size. The characters
//! are U+3400 to U+B3FF: a run of 2^15 with no surrogates, nothing that ends an element and nothing that a parser changes (the
//! Unicode Standard, chapters 18 and 23). UTF-16 is told by its byte order mark, which browsers obey before anything else, also before what
//! a server says (WHATWG, Encoding Standard, "decode"; HTML Standard, "determining the character encoding").

use std::io::{self, Read, Write};

/// The byte order mark, little endian.
pub(super) const MARK: [u8; 2] = [0xFF, 0xFE];
/// The first of the characters.
const FIRST: u16 = 0x3400;
/// Bits of a character.
const BITS: u32 = 15;

/// Writes text as UTF-16, little endian.
pub(super) fn write_text(text: &str, to: &mut impl Write) -> io::Result<()> {
    let bytes: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    to.write_all(&bytes)
}

/// Writes bytes as characters, the last filled up with zeros.
pub(super) fn write_bytes(mut from: impl Read, to: &mut impl Write) -> io::Result<()> {
    let (mut held, mut bits) = (0u32, 0);
    let mut block = vec![0; 1 << 16];
    let mut characters = Vec::with_capacity(1 << 17);
    loop {
        let read = from.read(&mut block)?;
        if read == 0 {
            break;
        }
        for &byte in &block[..read] {
            held = held << 8 | u32::from(byte);
            bits += 8;
            if bits >= BITS {
                bits -= BITS;
                characters.extend(character(held >> bits));
            }
        }
        to.write_all(&characters)?;
        characters.clear();
    }
    if bits > 0 {
        to.write_all(&character(held << (BITS - bits)))?;
    }
    Ok(())
}

/// Bytes that `count` bytes take in the page.
pub(super) fn length(count: u64) -> u64 {
    (count * 8).div_ceil(u64::from(BITS)) * 2
}

fn character(bits: u32) -> [u8; 2] {
    (FIRST + (bits & ((1 << BITS) - 1)) as u16).to_le_bytes()
}
