//! The program in a pseudo-terminal: what can only be seen there, and a few whole walks.

#[path = "../common/binary.rs"]
mod binary;
mod home;
#[path = "../common/session.rs"]
mod session;
#[path = "../common/things.rs"]
mod things;

mod every_action;
mod given_back;
mod hang_up;
mod idle;
mod plain;
mod program;
mod restack_program;
mod terminal;
