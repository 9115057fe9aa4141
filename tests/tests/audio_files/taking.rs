//! Which channel is the guitar.

use dryfit_bundler::audio::{Channel, Recording, read};

use crate::files::*;

fn recording(channels: &[Vec<f32>]) -> Recording {
    let (path, note) = ("riff.wav".into(), "WAV".into());
    Recording { path, sample_rate: RATE, channels: channels.to_vec(), note }
}

/// The take's samples and the sentence without the file's name.
fn taken(channels: &[Vec<f32>], asked: Option<&str>) -> (Vec<f32>, String) {
    let asked = asked.map(|word| word.parse().unwrap());
    let (take, sentence) = recording(channels).take(asked).unwrap();
    assert_eq!(take.sample_rate, RATE);
    let rest = sentence.strip_prefix("riff.wav (WAV): ").expect("the sentence names the file");
    (take.samples, rest.to_owned())
}

fn refused(channels: &[Vec<f32>], asked: Option<&str>) -> String {
    recording(channels).take(asked.map(|word| word.parse().unwrap())).unwrap_err().to_string()
}

#[test]
fn a_mono_file_is_taken_as_it_is() {
    assert_eq!(taken(&[tone(110.0)], None), (tone(110.0), "taken as it is".into()));
    assert_eq!(taken(&[tone(110.0)], Some("mix")).0, tone(110.0));
}

#[test]
fn of_two_equal_channels_the_left_is_taken_also_when_they_differ_in_the_last_bit() {
    // One code of 24 bits on every other sample is 126 dB below the sine: 20 log10(0.25 2^23).
    let code = 1.0 / 8_388_608.0;
    let right: Vec<f32> = tone(110.0).iter().enumerate().map(|(n, x)| x + (n % 2) as f32 * code).collect();
    let sentence = "takes channel 1 of 2, because both are equal";
    assert_eq!(taken(&[tone(110.0), right], None), (tone(110.0), sentence.into()));
}

#[test]
fn of_two_channels_one_of_them_silent_the_other_is_taken() {
    let silent = vec![1e-6; RATE as usize];
    let sentence = "takes channel 2 of 2, because the left is silent";
    assert_eq!(taken(&[silent.clone(), tone(110.0)], None), (tone(110.0), sentence.into()));
    let sentence = "takes channel 1 of 2, because the right is silent";
    assert_eq!(taken(&[tone(110.0), silent], None), (tone(110.0), sentence.into()));
}

#[test]
fn of_two_different_channels_the_mean_is_taken_unless_one_is_asked_for() {
    let channels = [vec![0.5, 0.25], vec![0.25, -0.75]];
    let sentence = "takes the mean of all 2 channels, because they differ";
    assert_eq!(taken(&channels, None), (vec![0.375, -0.25], sentence.into()));
    let sentence = "takes channel 2 of 2, as asked for";
    assert_eq!(taken(&channels, Some("right")), (channels[1].clone(), sentence.into()));
}

#[test]
fn a_mix_whose_channels_cancel_says_so_and_one_that_vanishes_is_refused() {
    let scaled = |factor: f32| tone(110.0).iter().map(|x| factor * x).collect::<Vec<_>>();
    // The mean is 0.05 of the left: 20 log10 0.05 = -26.02 dB.
    let (_, sentence) = taken(&[tone(110.0), scaled(-0.9)], None);
    let caution = "; the channels cancel one another (-26 dB): choose one with --channel";
    assert!(sentence.ends_with(caution), "{sentence}");
    let (_, sentence) = taken(&[tone(110.0), tone(165.0)], None);
    assert!(sentence.ends_with("because they differ"), "unrelated ones do not cancel: {sentence}");
    assert_eq!(
        refused(&[tone(110.0), scaled(-1.0)], None),
        "riff.wav: channel mix is silent, every sample is zero; choose another with --channel, \
         for instance 1"
    );
}

#[test]
fn of_seven_channels_the_first_that_sounds_is_taken_unless_another_is_asked_for() {
    let folder = folder();
    let path = folder.path().join("take.wav");
    let mut channels = vec![vec![0; 100]; 7];
    (channels[3], channels[5]) = (vec![4_000; 100], vec![-8_000; 100]);
    integer_wav(&path, 16, &channels);
    let (take, sentence) = read(&path).unwrap().take(None).unwrap();
    assert_eq!(take.samples, meaning(&[4_000; 100], 16));
    assert!(sentence.ends_with("takes channel 4 of 7, the first that is not silent"), "{sentence}");
    let (take, sentence) = read(&path).unwrap().take("6".parse().ok()).unwrap();
    assert_eq!(take.samples, meaning(&[-8_000; 100], 16));
    assert!(sentence.ends_with("takes channel 6 of 7, as asked for"), "{sentence}");
}

#[test]
fn a_channel_that_is_not_there_or_silent_is_refused_with_the_ones_that_sound() {
    let channels = [vec![0.0; 10], vec![0.5; 10], vec![0.0; 10]];
    assert_eq!(
        refused(&channels, Some("4")),
        "riff.wav: has no channel 4, only 1 to 3; choose one of these with --channel"
    );
    assert_eq!(
        refused(&channels, Some("left")),
        "riff.wav: channel left is silent, every sample is zero; choose another with --channel, \
         for instance 2"
    );
}

#[test]
fn channel_words_are_read_back_as_they_are_written_and_others_are_refused() {
    for word in ["left", "right", "mix", "1", "7"] {
        assert_eq!(word.parse::<Channel>().unwrap().to_string(), word);
    }
    for word in ["0", "-1", "middle", "", "1.5"] {
        let error = word.parse::<Channel>().unwrap_err().to_string();
        let mend = "say left, right, mix or a channel's number, the first being 1";
        assert!(error.ends_with(mend), "{error}");
    }
}
