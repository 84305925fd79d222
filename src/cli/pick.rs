//! `A`: one build, named `FILE` or `FILE#BUILD`.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::context::Case;
use super::{Context, Failure, suggest};
use crate::library;
use crate::model::Filter;
use crate::profile::{Loaded, Sound};

/// The builds named by `args`. Problems of their files are told as remarks.
pub fn pick<'n>(
    context: &mut Context<'_, '_>,
    args: impl IntoIterator<Item = &'n OsString>,
) -> Result<Vec<Case>, Failure> {
    let named: Vec<_> = args.into_iter().map(|arg| split(arg, &|path| path.exists())).collect();
    // Read together, so that files of one name in two folders do not share their doubt.
    let paths: Vec<PathBuf> = named.iter().map(|(path, _)| path.clone()).filter(|p| p.exists()).collect();
    let loaded = if paths.is_empty() { Loaded::default() } else { context.load(&paths) };
    context.tell(&loaded.broken);
    context.from_demo = paths.is_empty();
    let mut cases = Vec::new();
    for (path, name) in named {
        let sound = match loaded.filters.iter().find(|sound| sound.path == path) {
            Some(sound) => sound.clone(),
            None if loaded.broken.iter().any(|broken| broken.path == path) => return Err(unusable(&path)),
            None if path.exists() => read(context, &path)?,
            None => built_in(context, &path)?,
        };
        let build = which(&sound.filter, &path, name.as_deref())?;
        cases.push(Case { path: sound.path, filter: sound.filter, build });
    }
    Ok(cases)
}

/// The filter named by `arg`; its first build stands for it unless one is named.
pub fn pick_filter(context: &mut Context<'_, '_>, arg: &OsString) -> Result<Case, Failure> {
    let (path, name) = split(arg, &|path| path.exists());
    let sound = if path.exists() { read(context, &path)? } else { built_in(context, &path)? };
    context.from_demo = !path.exists();
    let build = match name {
        Some(name) => which(&sound.filter, &path, Some(&name))?,
        None => 0,
    };
    Ok(Case { path: sound.path, filter: sound.filter, build })
}

fn unusable(path: &Path) -> Failure {
    Failure::Nothing(format!("`{}` holds no filter that can be used", path.display()))
}

/// A file called by another path than one read already, or a folder that holds a single one.
fn read(context: &mut Context<'_, '_>, path: &Path) -> Result<Sound, Failure> {
    let loaded = context.load(std::slice::from_ref(&path.to_path_buf()));
    context.tell(&loaded.broken);
    let mut sound = loaded.filters.into_iter();
    match (sound.next(), sound.next()) {
        (Some(only), None) => Ok(only),
        (Some(_), Some(_)) => {
            Err(Failure::Usage(format!("`{}` holds more than one file: name one of them", path.display())))
        }
        (None, _) => Err(unusable(path)),
    }
}

/// A file of the built-in demo, by its name, so that what `cansift table` shows can be named.
fn built_in(context: &Context<'_, '_>, path: &Path) -> Result<Sound, Failure> {
    context
        .in_state(library::demo())
        .filters
        .into_iter()
        .find(|sound| sound.path.file_name() == Some(path.as_os_str()))
        .ok_or_else(|| Failure::Nothing(format!("there is no file `{}`", path.display())))
}

pub(super) fn which(filter: &Arc<Filter>, path: &Path, name: Option<&str>) -> Result<usize, Failure> {
    let names = || filter.builds.iter().map(|b| b.name.as_str());
    let list = || names().map(|n| format!("\n  {}#{n}", path.display())).collect::<String>();
    match name {
        None if filter.builds.len() == 1 => Ok(0),
        None => Err(Failure::Usage(format!(
            "`{}` holds {} builds; say which:{}",
            path.display(),
            filter.builds.len(),
            list()
        ))),
        Some(name) => names().position(|n| n == name).ok_or_else(|| {
            Failure::Usage(format!(
                "`{}` holds no build `{name}`{}; it holds:{}",
                path.display(),
                suggest::hint(name, names()),
                list()
            ))
        }),
    }
}

/// The file and, after a `#`, the build. A name may hold a `#` itself: the first place at which the front
/// is a file wins, and the whole as a file before that.
pub fn split(arg: &OsStr, exists: &dyn Fn(&Path) -> bool) -> (PathBuf, Option<String>) {
    let whole = PathBuf::from(arg);
    let Some(text) = arg.to_str() else { return (whole, None) };
    if exists(&whole) {
        return (whole, None);
    }
    let cuts = || text.match_indices('#').filter_map(|(at, _)| text.split_at_checked(at));
    cuts()
        .find(|(front, _)| exists(Path::new(front)))
        .or_else(|| cuts().next())
        .map_or((whole, None), |(front, back)| {
            (PathBuf::from(front), Some(back.strip_prefix('#').unwrap_or(back).to_owned()))
        })
}
