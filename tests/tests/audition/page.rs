//! A page read from its file, without a browser.

use std::path::Path;

use serde_json::Value;
use symphonia::core::codecs::audio::AudioDecoderOptions;
use symphonia::core::formats::TrackType;
use symphonia::core::formats::probe::Hint;
use symphonia::core::io::MediaSourceStream;

/// A page.
pub struct Page {
    pub text: String,
    pub data: Value,
}

impl Page {
    pub fn read(path: &Path) -> Self {
        let bytes = std::fs::read(path).unwrap();
        assert_eq!(bytes[..2], [0xFF, 0xFE], "a byte order mark tells a browser that this is UTF-16");
        let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]])).collect();
        let text = String::from_utf16(&units).unwrap();
        let data = serde_json::from_str(element(&text, "data")).unwrap();
        Self { text, data }
    }

    /// Text of the element with that id.
    pub fn element(&self, id: &str) -> &str {
        element(&self.text, id)
    }

    /// The 24-bit codes of a clip.
    pub fn codes(&self, take: usize, clip: usize) -> Vec<i32> {
        let sound = &self.clips(take)[clip]["sound"];
        decoded(self.bytes(&format!("sound-{take}-{sound}")))
    }

    /// What an element carries.
    pub fn bytes(&self, id: &str) -> Vec<u8> {
        let start = self.text.find(&format!("id=\"{id}\" data-bytes=\"")).unwrap();
        let count = self.text[start..].split('"').nth(3).unwrap().parse().unwrap();
        let (mut held, mut bits, mut bytes) = (0u64, 0, Vec::new());
        for character in self.element(id).chars() {
            held = (held << 15 | u64::from(u32::from(character) - 0x3400)) & 0xFFFF_FFFF;
            bits += 15;
            while bits >= 8 && bytes.len() < count {
                bits -= 8;
                bytes.push((held >> bits) as u8);
            }
        }
        assert_eq!(bytes.len(), count);
        bytes
    }

    pub fn variants(&self) -> &Vec<Value> {
        self.data["variants"].as_array().unwrap()
    }

    pub fn clips(&self, take: usize) -> &Vec<Value> {
        self.data["takes"][take]["clips"].as_array().unwrap()
    }

    pub fn rate(&self, take: usize) -> u32 {
        self.data["takes"][take]["rate"].as_u64().unwrap() as u32
    }

    /// Samples of a clip, full scale 1.
    pub fn samples(&self, take: usize, clip: usize) -> Vec<f32> {
        self.codes(take, clip).into_iter().map(|code| code as f32 / 8_388_608.0).collect()
    }
}

fn element<'a>(text: &'a str, id: &str) -> &'a str {
    let start = text.find(&format!("id=\"{id}\"")).unwrap_or_else(|| panic!("no element {id}"));
    let start = start + text[start..].find('>').unwrap() + 1;
    &text[start..start + text[start..].find('<').unwrap()]
}

/// By a decoder that is not the encoder's; it checks the MD5 sum.
fn decoded(flac: Vec<u8>) -> Vec<i32> {
    let stream = MediaSourceStream::new(Box::new(std::io::Cursor::new(flac)), Default::default());
    let mut format =
        symphonia::default::get_probe().probe(&Hint::new(), stream, Default::default(), Default::default()).unwrap();
    let track = format.default_track(TrackType::Audio).unwrap();
    let parameters = track.codec_params.as_ref().unwrap().audio().unwrap().clone();
    assert_eq!(parameters.bits_per_sample, Some(24));
    let mut decoder = symphonia::default::get_codecs()
        .make_audio_decoder(&parameters, &AudioDecoderOptions::default().verify(true))
        .unwrap();
    let (mut codes, mut planes) = (Vec::new(), Vec::<Vec<i32>>::new());
    while let Some(packet) = format.next_packet().unwrap() {
        decoder.decode(&packet).unwrap().copy_to_vecs_planar(&mut planes);
        assert_eq!(planes.len(), 1, "mono takes stay mono");
        // The decoder hands 24 bits over in the upper part of 32.
        codes.extend(planes[0].iter().map(|sample| sample >> 8));
    }
    assert_eq!(decoder.finalize().verify_ok, Some(true));
    codes
}
