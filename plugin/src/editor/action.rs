//! What the user did.

use super::model::{BenchId, Listen, TraySeries};

/// One thing the user did; the editor changes nothing itself.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// A control was grabbed: a gesture begins.
    Begin(ControlId),
    /// A control was moved, between `Begin` and `End`: its new value, in the terms of [`super::Control`].
    Set(ControlId, f64),
    /// A control was let go.
    End(ControlId),
    /// A text was typed and confirmed. The session reads it, or refuses it with a message in place.
    Type(Field, String),
    /// Listen to something else.
    Listen(Listen),
    /// Loudness match on or off.
    MatchLoudness(bool),
    /// Note following on or off.
    FollowNotes(bool),
    /// Following looks ahead of what is heard, or does not.
    LookAhead(bool),
    /// Copy a bench (wiring, add-ons, values) onto the other one.
    CopyBench {
        /// The bench that is copied.
        from: BenchId,
    },
    /// Swap the benches.
    SwapBenches,
    /// Put another wiring on a bench.
    ChooseWiring {
        /// Which bench.
        bench: BenchId,
        /// The wiring's name among the choices.
        name: String,
    },
    /// Fit an add-on, or take it out.
    FitAddOn {
        /// Which bench.
        bench: BenchId,
        /// The add-on's name.
        name: String,
        /// Whether it is to be fitted.
        fitted: bool,
    },
    /// Put a part of a bench in the tray.
    ChooseTrayPart {
        /// Which bench.
        bench: BenchId,
        /// The part's name.
        part: String,
    },
    /// Empty the tray; the part keeps the value it has.
    EmptyTray,
    /// Lay out values of a preferred series. (Typed ones come as [`Field::TrayValues`], a step as [`ControlId::TrayStep`].)
    ChooseTraySeries(TraySeries),
    /// The take was made with this guitar.
    ChooseGuitar(String),
    /// The take was made through this wiring.
    ChooseRecordedWiring(String),
    /// Record a position of the selector, from 1, from what comes in.
    RecordPass(u8),
    /// Open what was recorded in a position of the selector, from 1, from a file.
    OpenPass(u8),
    /// End the recording that is under way.
    StopRecording,
    /// Listen to the recordings.
    Calibrate,
    /// End listening.
    GiveUpCalibrating,
    /// The take was made with the guitar that was measured.
    UseCalibrated,
    /// Everything as recorded as bench A stands: "my guitar is wired like that now".
    RecordedAsBench(BenchId),
    /// The text of a document was edited.
    EditDocument {
        /// Which one.
        document: DocumentId,
        /// The whole text.
        text: String,
    },
    /// Open a document from a file.
    OpenDocument(DocumentId),
    /// Put the clipboard's text in place of a document.
    PasteDocument(DocumentId),
    /// Save a document among the user's own.
    SaveDocument(DocumentId),
    /// Want the sounds of a table among the choices.
    ChooseSounds(String),
    /// Want the sounds that a bench gives.
    SoundsOfBench(BenchId),
    /// The selector a wiring is to be found for; none for the smallest that will do.
    ChooseSwitch(Option<String>),
    /// Find a wiring for the sounds that are wanted.
    Find,
    /// End the search with what it has.
    GiveUpFinding,
    /// Put the wiring that was found on a bench.
    PutFound(BenchId),
    /// Take the last change back.
    Undo,
    /// Do what was taken back again.
    Redo,
    /// Begin a blind comparison.
    StartBlind {
        /// Number of trials.
        trials: usize,
    },
    /// X is said to be that bench.
    AnswerBlind(BenchId),
    /// End the blind comparison, whatever was answered, or close its result.
    StopBlind,
}

/// A document that can be opened, pasted and saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DocumentId {
    /// A bench's wiring.
    Bench(BenchId),
    /// The sounds that are wanted.
    Sounds,
    /// The guitar that the take was made with.
    Guitar,
}

/// A control that has a value. All but those of the recording are parameters of the host.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ControlId {
    /// The selector; value is the position, from 1.
    Selector,
    /// Knob by its place on the guitar, from 0; value 0 to 10.
    Knob(usize),
    /// Switch, from 0; value is the position, from 1.
    Switch(usize),
    /// Cable capacitance; value 0 to 1 of its travel.
    Cable,
    /// Input resistance; value 0 to 1 of its travel.
    Input,
    /// Output level; value 0 to 1 of its travel.
    Output,
    /// Which value of the tray is in the circuit; value is the step, from 0.
    TrayStep,
    /// The selector as the take was made.
    RecordedSelector,
    /// A knob as the take was made.
    RecordedKnob(usize),
    /// A switch as the take was made.
    RecordedSwitch(usize),
    /// The cable with which the take was made.
    RecordedCable,
    /// The input into which the take was made.
    RecordedInput,
}

/// A place where text is typed.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Field {
    /// A control's value.
    Control(ControlId),
    /// A part's value.
    Part {
        /// Which bench.
        bench: BenchId,
        /// The part's name.
        part: String,
    },
    /// What a meter read at the jack of a bench's guitar: `1=6.2k,2=open`.
    Readings(BenchId),
    /// The tray's values, separated by spaces or commas.
    TrayValues,
    /// What the guitar is called.
    GuitarTitle,
    /// A pickup's distance from the bridge.
    PickupDistance {
        /// The pickup's name.
        pickup: String,
        /// Under the lowest (else the highest) string.
        low: bool,
    },
    /// A figure of the guitar that is being measured.
    Measure(Measure),
}

/// A figure of the guitar that is measured with ruler or meter, or told.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Measure {
    /// From the nut to the saddle.
    ScaleLength,
    /// Of all strings, from the lowest.
    Gauges,
    /// How many strings are plain.
    Plain,
    /// Of all strings, from the lowest.
    Tuning,
    /// From the saddle to the middle of a pickup.
    Distance {
        /// The pickup's name.
        pickup: String,
        /// Under the lowest (else the highest) string.
        low: bool,
    },
    /// DC resistance of a pickup.
    Resistance(String),
    /// Inductance of a pickup.
    Inductance(String),
    /// Resonances of a pickup with two known capacitors.
    Resonances(String),
}
