//! Sets of options as bits in words.

/// Words for so many bits.
pub(crate) fn words(bits: usize) -> usize {
    bits.div_ceil(64)
}

/// All of so many bits.
pub(crate) fn full(bits: usize) -> Vec<u64> {
    let mut all = vec![u64::MAX; words(bits)];
    if let (Some(last), rest @ 1..) = (all.last_mut(), bits % 64) {
        *last = (1 << rest) - 1;
    }
    all
}

pub(crate) fn has(set: &[u64], bit: usize) -> bool {
    set[bit / 64] >> (bit % 64) & 1 == 1
}

pub(crate) fn add(set: &mut [u64], bit: usize) {
    set[bit / 64] |= 1 << (bit % 64);
}

pub(crate) fn remove(set: &mut [u64], bit: usize) {
    set[bit / 64] &= !(1 << (bit % 64));
}

pub(crate) fn none(set: &[u64]) -> bool {
    set.iter().all(|word| *word == 0)
}

pub(crate) fn meet(a: &[u64], b: &[u64]) -> bool {
    a.iter().zip(b).any(|(a, b)| a & b != 0)
}

pub(crate) fn count(set: &[u64]) -> usize {
    set.iter().map(|word| word.count_ones() as usize).sum()
}

/// How many bits stand before this one.
#[inline]
pub(crate) fn rank(set: &[u64], bit: usize) -> usize {
    let whole: u32 = set[..bit / 64].iter().map(|word| word.count_ones()).sum();
    (whole + (set[bit / 64] & ((1u64 << (bit % 64)) - 1)).count_ones()) as usize
}

/// The bits of a set, in order.
#[inline]
pub(crate) fn each(set: &[u64]) -> impl Iterator<Item = usize> + '_ {
    set.iter().enumerate().flat_map(|(at, word)| {
        let mut left = *word;
        std::iter::from_fn(move || {
            let bit = (left != 0).then_some(left.trailing_zeros() as usize)?;
            left &= left - 1;
            Some(at * 64 + bit)
        })
    })
}
