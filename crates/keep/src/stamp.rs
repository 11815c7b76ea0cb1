//! A file's contents told from others, so that a change by something else is noticed.

use crate::Trouble;
use std::io::Read;
use std::path::Path;

/// Length and mark of a file's contents. Two files of one stamp hold the same, but for a chance of one in 2⁶⁴.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    /// Bytes.
    pub length: u64,
    /// FNV-1a over them, 64 bits: Fowler, Noll and Vo, as in RFC 9923.
    pub mark: u64,
}

const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0000_0100_0000_01b3;

impl Stamp {
    /// The stamp of some bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self { length: bytes.len() as u64, mark: mark(BASIS, bytes) }
    }

    /// The stamp of a file as it is on disk; `None` where there is none.
    ///
    /// # Errors
    /// When it is there and cannot be read.
    pub fn on_disk(path: &Path) -> Result<Option<Self>, Trouble> {
        let read = || -> std::io::Result<Option<Self>> {
            let mut file = match std::fs::File::open(path) {
                Ok(file) => file,
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
                Err(error) => return Err(error),
            };
            let mut stamp = Self { length: 0, mark: BASIS };
            let mut part = [0; 65536];
            loop {
                let count = file.read(&mut part)?;
                if count == 0 {
                    return Ok(Some(stamp));
                }
                stamp.length += count as u64;
                stamp.mark = mark(stamp.mark, &part[..count]);
            }
        };
        read().map_err(|error| Trouble::of(path, &error))
    }
}

fn mark(from: u64, bytes: &[u8]) -> u64 {
    bytes.iter().fold(from, |mark, byte| (mark ^ u64::from(*byte)).wrapping_mul(PRIME))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of the algorithm's authors: the empty string, `a` and `foobar`.
    #[test]
    fn marks_are_fnv_1a() {
        assert_eq!(Stamp::of(b"").mark, 0xcbf2_9ce4_8422_2325);
        assert_eq!(Stamp::of(b"a").mark, 0xaf63_dc4c_8601_ec8c);
        assert_eq!(Stamp::of(b"foobar").mark, 0x8594_4171_f739_67e8);
    }

    #[test]
    fn a_file_has_the_stamp_of_its_bytes() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        assert_eq!(Stamp::on_disk(&path), Ok(None));
        let bytes: Vec<u8> = (0..200_000_u32).map(|i| (i % 251) as u8).collect();
        std::fs::write(&path, &bytes).unwrap();
        assert_eq!(Stamp::on_disk(&path), Ok(Some(Stamp::of(&bytes))));
    }
}
