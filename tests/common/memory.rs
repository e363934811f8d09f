//! How much memory a process holds, on Linux.

/// The most memory that this process has held so far, bytes.
pub fn most_memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").expect("the process");
    let line = status.lines().find(|line| line.starts_with("VmHWM:"));
    let kilobytes = line.and_then(|line| line.split_whitespace().nth(1));
    1024 * kilobytes
        .expect("a figure")
        .parse::<u64>()
        .expect("a figure")
}
