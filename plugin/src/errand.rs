//! Work that the user asked for and waits for, on a thread of the instance's own for as long as it takes. The audio thread and
//! the thread that compiles know nothing of it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread::JoinHandle;

/// Work under way. When it is dropped, the work is given up and waited for, so that no code of the plug-in runs after the host
/// took it out of memory.
#[derive(Debug)]
pub struct Errand<T> {
    told: Arc<Told>,
    result: Receiver<T>,
    thread: Option<JoinHandle<()>>,
}

/// What passes between the work and whoever waits for it.
#[derive(Debug, Default)]
pub struct Told {
    given_up: AtomicBool,
    wires: AtomicUsize,
    tried: AtomicU64,
}

impl Told {
    /// Whether nobody waits any more.
    pub fn given_up(&self) -> bool {
        self.given_up.load(Ordering::Relaxed)
    }

    /// The work says how far it is: wires that are being tried, cases that were ruled out.
    pub fn say(&self, wires: usize, tried: u64) {
        self.wires.store(wires, Ordering::Relaxed);
        self.tried.store(tried, Ordering::Relaxed);
    }

    /// What was last said.
    pub fn said(&self) -> (usize, u64) {
        (self.wires.load(Ordering::Relaxed), self.tried.load(Ordering::Relaxed))
    }
}

impl<T: Send + 'static> Errand<T> {
    /// Sends somebody off.
    ///
    /// # Errors
    /// When the system has no thread to give.
    pub fn start(name: &str, work: impl FnOnce(&Told) -> T + Send + 'static) -> std::io::Result<Self> {
        let told = Arc::new(Told::default());
        let (sender, result) = channel();
        let theirs = told.clone();
        let run = move || {
            // Whoever waited may have gone.
            let _ = sender.send(work(&theirs));
        };
        let thread = Some(std::thread::Builder::new().name(name.into()).spawn(run)?);
        Ok(Self { told, result, thread })
    }

    /// What came of it, once something did; an error when it ended in a panic. None while it goes on.
    pub fn result(&self) -> Option<Result<T, Panicked>> {
        match self.result.try_recv() {
            Ok(result) => Some(Ok(result)),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(Err(Panicked)),
        }
    }
}

impl<T> Errand<T> {
    /// What passes between it and whoever waits.
    pub fn told(&self) -> &Told {
        &self.told
    }

    /// Nobody waits for all of it any more: it ends soon, with what it has.
    pub fn give_up(&self) {
        self.told.given_up.store(true, Ordering::Relaxed);
    }
}

/// It ended in a panic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Panicked;

impl<T> Drop for Errand<T> {
    fn drop(&mut self) {
        self.give_up();
        if let Some(thread) = self.thread.take() {
            // A panic was reported when it happened; nothing is left to do about it.
            let _ = thread.join();
        }
    }
}
