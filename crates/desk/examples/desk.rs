//! Opens the desk alone, with the plan file named as its argument.

fn main() -> Result<(), startrow_desk::Error> {
    startrow_desk::open(std::env::args_os().nth(1).map(Into::into))
}
