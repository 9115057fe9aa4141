//! What comes out, whatever the host's blocks and rates.

use std::process::Command;

use super::RATE;
use crate::clap_host::{Move, Plugin};
use crate::outcome::{Outcome, when};
use crate::signals::{impulse, magnitude, noise, same_bits};
use crate::{Check, Given};

pub const CHECKS: &[Check] = &[
    Check { name: "block-sizes", sentence: "the same samples at block sizes 1 to 8192 and changing", run: block_sizes },
    Check { name: "rates", sentence: "44.1 to 192 kHz: the same response within 0.1 dB, rate after rate", run: rates },
    Check { name: "as-rendered", sentence: "the same samples as `dryfit render`, bit for bit", run: as_rendered },
    Check { name: "bounce", sentence: "a bounce gives the same samples as playing live", run: bounce },
    Check { name: "reset", sentence: "deactivated and activated again, the same samples come again", run: again },
    Check { name: "transport", sentence: "when the transport starts, loudness is measured anew", run: transport },
];

fn block_sizes(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(20_000, 0.1);
    let run = |blocks: &[usize]| plugin.instance().start(RATE, 2).run(&take, blocks, &[]);
    let expected = run(&[512]);
    let sizes: [&[usize]; 11] =
        [&[1], &[2], &[3], &[63], &[64], &[65], &[1000], &[4096], &[8191], &[8192], &[1, 777, 64, 8192, 5, 31]];
    let wrong: Vec<_> = sizes.into_iter().filter(|sizes| !same_bits(&run(sizes), &expected)).collect();
    when(wrong.is_empty(), format!("{} splittings; other samples: {wrong:?}", sizes.len()))
}

/// Several low frequencies and the resonance's flank: what the 0.1 dB of the accuracy budget is about.
fn rates(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    let mut moves = instance.moves(&[("Loudness match", "Off"), ("Knob 2", "4"), ("Knob 3", "10")]);
    let mut worst = 0.0f64;
    let mut expected: Option<Vec<f64>> = None;
    for rate in [44_100.0, 48_000.0, 88_200.0, 96_000.0, 176_400.0, 192_000.0, 44_100.0] {
        let mut running = instance.start(rate, 2);
        // The parameters settle first: a run begins at a boundary of the grid.
        let heard = running.run(&impulse(rate as usize), &[256], &moves);
        moves.clear();
        let levels: Vec<f64> =
            [50.0, 200.0, 1000.0, 3000.0, 8000.0].map(|hertz| 20.0 * magnitude(&heard, rate, hertz).log10()).to_vec();
        let expected = expected.get_or_insert_with(|| levels.clone());
        worst = levels.iter().zip(expected.iter()).map(|(a, b)| (a - b).abs()).fold(worst, f64::max);
        instance = running.stop();
    }
    // Two rates may each be off by the 0.05 dB of the accuracy budget.
    when(worst <= 0.1, format!("largest difference {worst:.3} dB"))
}

fn as_rendered(given: &Given) -> Outcome {
    let folder = tempfile::tempdir().expect("there is room for a take");
    let (path, out) = (folder.path().join("take.wav"), folder.path().join("out.wav"));
    let take = noise(96_000, 0.1);
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: RATE as u32,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let mut writer = hound::WavWriter::create(&path, spec).expect("it can be written");
    take.iter().for_each(|&sample| writer.write_sample(sample).expect("there is room"));
    writer.finalize().expect("there is room");
    let set = ["position=1", "volume=7.5", "tone=3.3", "blend=5.25", "cable=710p", "input=470k"];
    let mut command = Command::new(&given.dryfit);
    command.arg("render").arg(&path).arg("-o").arg(&out).args(["--depth", "float"]);
    command.args(["--option", "five-way-bridge-only-neck-blend", "--recorded", "five-way-two-tones"]);
    set.iter().for_each(|set| _ = command.args(["--set", set]));
    let rendered = command.output().expect("dryfit runs");
    if !rendered.status.success() {
        return Outcome::Failed(String::from_utf8_lossy(&rendered.stderr).into_owned());
    }
    let mut reader = hound::WavReader::open(&out).expect("it was rendered");
    let rendered: Vec<f32> = reader.samples::<f32>().map(|sample| sample.expect("floats")).collect();
    let mut instance = Plugin::load(&given.plugin).instance();
    let settings = [
        ("Knob 1", "7.5"),
        ("Knob 2", "3.3"),
        ("Knob 3", "5.25"),
        ("Cable", "710p"),
        ("Input resistance", "470k"),
        ("Loudness match", "Off"),
    ];
    let moves = instance.moves(&settings);
    let heard = instance.start(RATE, 2).run(&take, &[441, 512], &moves);
    let same = heard.iter().zip(&rendered).filter(|(a, b)| a.to_bits() == b.to_bits()).count();
    when(same_bits(&heard, &rendered), format!("{same} of {} samples the same", rendered.len()))
}

fn bounce(given: &Given) -> Outcome {
    let plugin = Plugin::load(&given.plugin);
    let take = noise(30_000, 0.1);
    let mut bouncing = plugin.instance();
    bouncing.bounce();
    let moves = glide(bouncing.id("Knob 1"), bouncing.id("Selector"));
    let live = plugin.instance().start(RATE, 2).run(&take, &[64], &moves);
    let bounced = bouncing.start(RATE, 2).run(&take, &[4096], &moves);
    when(same_bits(&live, &bounced), "live in blocks of 64, bounced in blocks of 4096".into())
}

fn glide(knob: clack_host::utils::ClapId, selector: clack_host::utils::ClapId) -> Vec<Move> {
    let one = |i: usize| {
        let (sample, wave) = (i * 211, (i as f64 * 0.37).sin());
        if i.is_multiple_of(9) {
            Move { sample, parameter: selector, value: (i / 9 % 5) as f64 }
        } else {
            Move { sample, parameter: knob, value: 0.5 + 0.5 * wave }
        }
    };
    (0..140).map(one).collect()
}

fn again(given: &Given) -> Outcome {
    let take = noise(30_000, 0.1);
    let mut running = Plugin::load(&given.plugin).instance().start(RATE, 2);
    let first = running.run(&take, &[512], &[]);
    let second = running.stop().start(RATE, 2).run(&take, &[512], &[]);
    when(same_bits(&first, &second), "two passes".into())
}

fn transport(given: &Given) -> Outcome {
    let mut instance = Plugin::load(&given.plugin).instance();
    // A volume at 5 makes A some 20 dB softer, so that the match has something to do.
    let moves = instance.moves(&[("Knob 1", "5")]);
    let mut running = instance.start(RATE, 2);
    let take = noise(96_000, 0.1);
    running.playing = Some(true);
    let first = running.run(&take, &[480], &moves);
    let matched = crate::signals::loudest(&first[90_000..]);
    running.playing = Some(false);
    running.run(&[0.0; 4800], &[480], &[]);
    running.playing = Some(true);
    let second = running.run(&take[..9600], &[480], &[]);
    // Until 400 ms have passed there is nothing measured; 2 ms are the fade back to no gain.
    let anew = crate::signals::loudest(&second[480..]);
    let without = crate::signals::loudest(&first[480..9600]);
    let so = matched > 2.0 * without && (anew / without - 1.0).abs() < 0.01;
    when(so, format!("peak unmatched {without:.4}, matched {matched:.4}, after the restart {anew:.4}"))
}
