//! A GPX file of any content is read or refused.
#![no_main]

use intake::ride_file::{Heights, read_ride};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    // A sign that begins every XML file comes first, so that no run is spent on what is neither.
    let bytes = [b"<", bytes].concat();
    if let Ok(ride) = read_ride(&bytes) {
        assert!(ride.distance_m().is_finite());
        let _ = (ride.profile(20.0, Heights::Unknown), ride.climb_m(3.0));
    }
});
