//! The editor: what it looks like, what it says, what it does when it is touched. No host and no plug-in is needed for it.

mod editor {
    mod actions;
    mod blind;
    mod calibration;
    mod colours;
    mod faults;
    mod find;
    mod fixtures;
    mod gestures;
    mod heard;
    mod keyboard;
    mod pictures;
    mod sounds;
    mod stage;
    mod text;
    mod typing;
}
