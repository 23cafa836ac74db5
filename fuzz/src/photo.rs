//! Any bytes as a customer's picture: looked at, and copied at the size of a drawing.

use backline::limits::WorkLimits;
use backline::photo::Photo;

/// Pixels of the longer side of the copy.
const LONGEST: u32 = 64;
/// Larger pictures are sound or not, but slow under a fuzzer.
const MOST_PIXELS: u64 = 4_000_000;

pub fn run(bytes: &[u8]) {
    let _ = WorkLimits::strict().watch(|| {
        let Ok(photo) = Photo::read(bytes.to_vec()) else { return };
        let (width, height) = photo.size();
        assert!(width > 0 && height > 0);
        if u64::from(width) * u64::from(height) > MOST_PIXELS {
            return;
        }
        if let Ok(copy) = photo.copy(LONGEST) {
            assert!(copy.width.max(copy.height) <= LONGEST && copy.width.min(copy.height) > 0, "{width} {height}");
        }
    });
}
