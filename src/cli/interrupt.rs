//! Ctrl-C, and what else asks a program to end, as a request to end in order.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, LazyLock};

#[cfg(unix)]
use signal_hook::consts::SIGHUP;
use signal_hook::consts::{SIGINT, SIGTERM};
use signal_hook::flag::{register, register_conditional_shutdown};

/// Set when the user or the system asks the program to end.
static ASKED: LazyLock<Arc<AtomicBool>> = LazyLock::new(Arc::default);

#[cfg(unix)]
const SIGNALS: [i32; 3] = [SIGINT, SIGTERM, SIGHUP];
#[cfg(not(unix))]
const SIGNALS: [i32; 2] = [SIGINT, SIGTERM];

/// What shells give for a program that an interrupt has ended.
const INTERRUPTED: i32 = 130;

/// From now on the first signal is remembered. The second time the user means it, and the program ends at once.
///
/// The signals set a flag: a thread that waits for them would make every allocation of a batch dearer.
pub(super) fn heed() {
    for signal in SIGNALS {
        // Without a handler an interrupt ends the program as ever.
        let _ = register_conditional_shutdown(signal, INTERRUPTED, Arc::clone(&ASKED));
        let _ = register(signal, Arc::clone(&ASKED));
    }
}

/// Tells whether the program was asked to end.
pub(super) fn is_asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}
