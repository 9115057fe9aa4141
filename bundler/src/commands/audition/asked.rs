//! The order as the arguments or a settings file give it.

use std::fs;
use std::path::Path;

use crate::Failure;
use crate::arguments::Audition;
use crate::audition::order::{FORMAT, OptionOrder, Order, RecordedOrder, TakeOrder};

/// What was asked for.
pub(super) fn order(arguments: &Audition) -> Result<Order, Failure> {
    match &arguments.order {
        Some(path) => read(path),
        None => written_out(arguments),
    }
}

fn written_out(arguments: &Audition) -> Result<Order, Failure> {
    if arguments.names.len() > arguments.takes.len() {
        let what = format!("{} names for {} takes", arguments.names.len(), arguments.takes.len());
        return Err(Failure::Arguments { what, mend: "give --name at most once for each take".into() });
    }
    let name = |index: usize| arguments.names.get(index).cloned();
    let channel = arguments.channel.map(|channel| channel.to_string());
    let take = |(index, file): (usize, &std::path::PathBuf)| TakeOrder {
        file: file.clone(),
        name: name(index),
        channel: channel.clone(),
    };
    Ok(Order {
        format: FORMAT,
        title: arguments.title.clone(),
        client: arguments.client.clone(),
        from: arguments.from,
        seconds: arguments.seconds,
        size: arguments.size,
        follow: arguments.follow,
        set: arguments.set.clone(),
        recorded: RecordedOrder {
            guitar: arguments.recorded.guitar.clone(),
            wiring: arguments.recorded.recorded.clone(),
            set: arguments.recorded.recorded_set.clone(),
        },
        takes: arguments.takes.iter().enumerate().map(take).collect(),
        options: arguments.options.iter().map(|option| OptionOrder::parse(option)).collect(),
    })
}

fn read(path: &Path) -> Result<Order, Failure> {
    let text = fs::read_to_string(path).map_err(|source| Failure::Document { path: path.to_owned(), source })?;
    let refused = |what: String, mend: &str| Failure::Arguments {
        what: format!("{}: {what}", path.display()),
        mend: mend.into(),
    };
    let mend = "correct it, or let `dryfit audition` write a new one";
    // Asked before the keys, which a newer format may have more of.
    let format = text.parse::<toml::Table>().ok().and_then(|table| table.get("format")?.as_integer());
    if format.is_some_and(|format| format > i64::from(FORMAT)) {
        return Err(refused("written by a newer dryfit".into(), "use the dryfit that wrote it, or a newer one"));
    }
    let order: Order = toml::from_str(&text).map_err(|error| refused(error.to_string().trim_end().into(), mend))?;
    Ok(order.seen_from(path.parent().unwrap_or(Path::new(""))))
}
