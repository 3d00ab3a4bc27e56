//! Records of a FIT file, one message at a time, so that memory holds the records kept and no more. The parser is the
//! crate `fitparser`.

use super::note::{Note, RideProblem};
use super::{MOST_RIDE_POINTS, Raw, RawRide};
use fitparser::de::{DecodeOption, FitObject, FitStreamProcessor};
use fitparser::profile::MesgNum;
use fitparser::{FitDataField, Value};

/// Degrees in one of the units in which FIT keeps angles: half a turn is 2³¹ of them.
const DEGREES_A_UNIT: f64 = 180.0 / 2_147_483_648.0;

/// Whether the bytes begin as FIT does: `.FIT` after the length and versions.
pub(super) fn is_fit(bytes: &[u8]) -> bool {
    bytes.get(8..12) == Some(b".FIT")
}

/// A part of the file with its sport.
struct Session {
    sport: String,
    from_s: f64,
    to_s: f64,
}

/// Reads the records of the cycling parts.
pub(super) fn read(bytes: &[u8]) -> Result<RawRide, RideProblem> {
    check_length(bytes)?;
    let mut processor = FitStreamProcessor::new();
    processor.add_option(DecodeOption::DropUnknownFields);
    let mut records: Vec<Raw> = Vec::new();
    let mut sessions: Vec<Session> = Vec::new();
    let mut rest = bytes;
    let mut begins = true;
    while !rest.is_empty() {
        let at = bytes.len() - rest.len();
        let broken = |why: fitparser::Error| RideProblem::BrokenFit { at, why: words(&why) };
        let (behind, object) = processor.deserialize_next(rest).map_err(broken)?;
        if behind.len() >= rest.len() {
            return Err(RideProblem::BrokenFit { at, why: "a message without length".to_owned() });
        }
        rest = behind;
        match object {
            FitObject::Crc(_) => processor.reset(),
            FitObject::DataMessage(message) => {
                let message = processor.decode_message(message).map_err(broken)?;
                match message.kind() {
                    MesgNum::Record => {
                        if records.len() == MOST_RIDE_POINTS {
                            return Err(RideProblem::TooMany { points: MOST_RIDE_POINTS + 1 });
                        }
                        records.push(Raw { begins, ..record(message.fields()) });
                        begins = false;
                    }
                    MesgNum::Session if sessions.len() < 1000 => sessions.extend(session(message.fields())),
                    _ => {}
                }
            }
            FitObject::Header(_) | FitObject::DefinitionMessage(_) => {}
        }
    }
    only_cycling(records, &sessions)
}

/// Walks the heads of the files that stand one behind the other, so that a copy that was broken off is named as such.
fn check_length(bytes: &[u8]) -> Result<(), RideProblem> {
    let mut at = 0;
    while at < bytes.len() {
        let head = &bytes[at..];
        let &[size, _, _, _, a, b, c, d, b'.', b'F', b'I', b'T', ..] = head else {
            return Err(RideProblem::BrokenFit { at, why: "no head of a FIT file stands there".to_owned() });
        };
        if size != 12 && size != 14 {
            return Err(RideProblem::BrokenFit {
                at,
                why: format!("a head of {size} bytes; 12 or 14 are wanted"),
            });
        }
        // The sum at the end takes two bytes.
        let length = u64::from(size) + u64::from(u32::from_le_bytes([a, b, c, d])) + 2;
        if length > head.len() as u64 {
            let wanted = usize::try_from(at as u64 + length).unwrap_or(usize::MAX);
            return Err(RideProblem::CutOff { found: bytes.len(), wanted });
        }
        at += usize::try_from(length).unwrap_or(usize::MAX);
    }
    Ok(())
}

/// The words of the parser, cut: what stood in the file may be in them.
fn words(why: &fitparser::ErrorKind) -> String {
    why.to_string().chars().filter(|letter| !letter.is_control()).take(200).collect()
}

fn number(value: &Value) -> Option<f64> {
    let number = match value {
        Value::Timestamp(time) => time.timestamp() as f64,
        Value::Byte(v) | Value::Enum(v) | Value::UInt8(v) | Value::UInt8z(v) => f64::from(*v),
        Value::SInt8(v) => f64::from(*v),
        Value::SInt16(v) => f64::from(*v),
        Value::UInt16(v) | Value::UInt16z(v) => f64::from(*v),
        Value::SInt32(v) => f64::from(*v),
        Value::UInt32(v) | Value::UInt32z(v) => f64::from(*v),
        Value::Float32(v) => f64::from(*v),
        Value::Float64(v) => *v,
        Value::SInt64(v) => *v as f64,
        Value::UInt64(v) | Value::UInt64z(v) => *v as f64,
        Value::String(_) | Value::Array(_) | Value::Invalid => return None,
    };
    number.is_finite().then_some(number)
}

fn record(fields: &[FitDataField]) -> Raw {
    let find =
        |name: &str| fields.iter().find(|field| field.name() == name).and_then(|field| number(field.value()));
    let place = find("position_lat").zip(find("position_long"));
    Raw {
        place: place
            .map(|(lat, long)| (lat * DEGREES_A_UNIT, long * DEGREES_A_UNIT))
            .filter(|(lat, _)| lat.abs() <= 90.0),
        height_m: find("enhanced_altitude").or_else(|| find("altitude")),
        time_s: find("timestamp"),
        distance_m: find("distance"),
        speed_m_s: find("enhanced_speed").or_else(|| find("speed")),
        cadence_rpm: find("cadence"),
        power_w: find("power"),
        begins: false,
    }
}

fn session(fields: &[FitDataField]) -> Option<Session> {
    let find = |name: &str| fields.iter().find(|field| field.name() == name).map(FitDataField::value);
    let from_s = number(find("start_time")?)?;
    let seconds = number(find("total_elapsed_time")?)?;
    let sport = match find("sport")? {
        Value::String(sport) => sport.chars().take(40).collect(),
        other => other.to_string(),
    };
    Some(Session { sport, from_s, to_s: from_s + seconds })
}

/// The records of the cycling parts; all of them where the file names no sport.
fn only_cycling(mut records: Vec<Raw>, sessions: &[Session]) -> Result<RawRide, RideProblem> {
    let mut notes = Vec::new();
    let is_cycling =
        |session: &&Session| session.sport.contains("cycling") || session.sport.contains("biking");
    if sessions.iter().any(|session| is_cycling(&session)) && sessions.len() > 1 {
        let all = records.len();
        let rides: Vec<&Session> = sessions.iter().filter(is_cycling).collect();
        let within = |time: f64| rides.iter().position(|ride| ride.from_s <= time && time <= ride.to_s);
        let mut last = None;
        records.retain_mut(|record| {
            let ride = record.time_s.and_then(within);
            record.begins |= ride.is_some() && ride != last;
            if ride.is_some() {
                last = ride;
            }
            ride.is_some()
        });
        notes.push(Note::Sports { parts: sessions.len(), used: records.len(), records: all });
    } else if !sessions.is_empty() && !sessions.iter().any(|session| is_cycling(&session)) {
        let known = sessions.iter().filter(|session| session.sport != "generic");
        let mut sports: Vec<String> = known.map(|session| session.sport.clone()).collect();
        if !sports.is_empty() {
            sports.sort();
            sports.dedup();
            return Err(RideProblem::NotByBike { sports });
        }
    }
    Ok(RawRide { records, notes })
}
