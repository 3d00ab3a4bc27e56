//! A FIT file of any content is read or refused.
#![no_main]

use intake::ride_file::{Heights, read_ride};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    // The head announces the length that follows, so that the records are looked at.
    let length = u32::try_from(bytes.len().saturating_sub(2)).unwrap_or(u32::MAX).to_le_bytes();
    let head = [&[14, 32, 84, 8][..], &length, b".FIT", &[0, 0]].concat();
    if let Ok(ride) = read_ride(&[&head, bytes].concat()) {
        assert!(ride.distance_m().is_finite());
        let _ = (ride.profile(20.0, Heights::Unknown), ride.climb_m(3.0), ride.best_power_w(60.0));
    }
});
