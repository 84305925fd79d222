//! widgets
