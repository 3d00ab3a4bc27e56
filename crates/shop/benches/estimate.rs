//! What a manager waits for: union, order and price under 100 µs; percentiles under 2 ms; promises for 40 jobs under
//! 200 ms.

fn main() {
    divan::main();
}
