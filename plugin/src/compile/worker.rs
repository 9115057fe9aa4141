//! The thread that compiles.

use std::sync::Arc;
use std::thread::JoinHandle;

use super::desk::Desk;

/// A thread of one instance, which compiles whatever is new on its desk. Joined on drop, so that no code of the plug-in runs
/// after the host took it out of memory.
#[derive(Debug)]
pub struct Worker {
    desk: Arc<Desk>,
    thread: Option<JoinHandle<()>>,
}

impl Worker {
    /// Starts to work. Where the system has no thread to give, edits take effect on the next activation only.
    pub fn start(desk: Arc<Desk>) -> Self {
        let theirs = desk.clone();
        let run = move || {
            while theirs.wait() {
                theirs.work(&|| theirs.stopping());
                theirs.survey(&|| theirs.stopping());
            }
        };
        let thread = std::thread::Builder::new().name("dryfit-compile".into()).spawn(run).ok();
        Self { desk, thread }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.desk.stop();
        if let Some(thread) = self.thread.take() {
            // A panic was reported when it happened; nothing is left to do about it.
            let _ = thread.join();
        }
    }
}
