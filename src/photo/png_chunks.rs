//! The chunks of a PNG file.

/// Bytes before the first chunk of a PNG file.
pub(super) const PNG_SIGNATURE: usize = 8;

/// A chunk of a PNG file.
pub(super) struct PngChunk<'b> {
    pub(super) kind: &'b [u8],
    pub(super) data: &'b [u8],
    /// With its length, kind and checksum.
    #[cfg_attr(not(feature = "pictures"), expect(dead_code, reason = "only files that are read are cut down"))]
    pub(super) whole: &'b [u8],
}

/// Returns the chunks of a PNG file, as far as they are whole.
pub(super) fn png_chunks(bytes: &[u8]) -> impl Iterator<Item = PngChunk<'_>> {
    let mut rest = bytes.get(PNG_SIGNATURE..).unwrap_or_default();
    std::iter::from_fn(move || {
        let (head, after) = rest.split_at_checked(8)?;
        let (length, kind) = head.split_at(4);
        let length = length.iter().fold(0usize, |length, byte| length << 8 | usize::from(*byte));
        let data = after.get(..length)?;
        // Four bytes of checksum follow.
        let (whole, next) = rest.split_at_checked(length.checked_add(12)?)?;
        rest = next;
        Some(PngChunk { kind, data, whole })
    })
}
