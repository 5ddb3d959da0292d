"""The words that the screens use, each with what it means here; a screen names the ones it shows.

Words of the trade keep the meaning that they have there.
"""

from __future__ import annotations

from tui.sentences import ASK_FIRST

RESTORE, LONG_POLE, POSITION, WAITS = "restore", "long pole", "position", "waits for"
LOST, SHARE, UNKNOWN, NOT_KNOWN = "lost days", "share", "unknown", "not known"
ASSUMED, BEARS_LOAD, WAY, ROUTE = "~, assumed", "bears load", "way", "route, operation"
CAN_WAIT, DONE_AHEAD, TO_BE_SAFE, COMPANION = "can wait", "done ahead", "to be safe", "companion"
A_YEAR, EXPOSURE, SUPPLY, RANK = "fails a year", "lost days, cost", "supply", "rank"
TERM, RECORD = "term", "record"
STAGE, CLOSES, JUMPS, CHANCES = "stage", "closes on", "jumps", "1 3 5 10 y"
DOWN_SHARE, STOPPER, PAIR = "down", "single stopper", "weak pair"
CRITICALITY, FUSSELL = "criticality", "Fussell-Vesely"
FULL_LOAD, GROUP, USED, FACTOR = "full-load hours", "group", "used", "factor"
FINDING, GRAVE = "finding", "how grave"
SPARE, AHEAD, LAST_BUY, ORDER_BY = "spare", "do ahead", "last buy", "order by"
SAVES, KNEE, THIS_PLAN, KEEPING = "saves", "◆ knee", "▲ this plan", "keeping it"
LEFT, TAKE, LASTS, WORTH = "left", "take", "lasts", "worth it"
POINT, USABLE, SITE_MIN = "point, max", "usable, ordered", "site min, max"
THEN, CHANGE = "lost now, then", "change"
FOUND_BY, PERHAPS, HERE = "found by", "perhaps", "here"
FOR_TODAY, SOON = "! for today", "· soon"
DEAD, WEAKER, MUST_WORK = "dead", "weaker", "2 of 4 must work"
TAKES_NOW, OUTAGES, EACH_YEAR = "takes now", "outages", "each year, in all"
RETURN = "return"
NEAREST, PROMISED, LIFE = "function, in fleet heat", "promised, took, factor", "mean, range"

MEANINGS = {
    TAKES_NOW: "the first purchase of upgrades, and spares: what has to be in the budget",
    OUTAGES: "a year's exposure once all has arrived",
    EACH_YEAR: "all that a choice costs over the years, outages too: in today's money, and as one "
    "equal amount at each year's end",
    RETURN: "the interest at which a choice costs as much as leaving all as it is; - for none",
    DEAD: "does not work any more: something that it needs is out",
    WEAKER: "not lost, but one that could stand in for another is out somewhere below it; whether "
    "the crane may run so is for a qualified person to decide",
    MUST_WORK: "a group: what needs it works as long as so many of its members do",
    NEAREST: "each position counts once: in the function that rests on it and on the fewest others",
    PROMISED: "days quoted and days taken, each the median of the orders received; the factor is "
    "what quotations are multiplied by, learnt from them",
    LIFE: "mean life of the part, and from the age before which 10 % fail to that before which "
    "90 % do; in years, or in running hours",
    FOR_TODAY: "its day is here or over, or it cannot wait for one",
    SOON: "its day comes within a month, or it is this week's share",
    FOUND_BY: "the number or words that hold what was typed, and whose number it is",
    PERHAPS: "a guess: one letter or digit of it was typed otherwise",
    HERE: "units that lie there by the book, whatever their condition",
    LEFT: "days from today until the order has to be placed",
    TAKE: "how many to buy in the last order: as long as one more saves more than it costs",
    LASTS: "chance that what is there and what is taken is enough to the end of the need",
    WORTH: "whether a unit saves more than it costs, in today's money",
    POINT: "order again when usable and ordered units fall below the point, up to the maximum",
    USABLE: "units that may be fitted today, and units on orders that count",
    SITE_MIN: "the limits that the site has set itself; these go first",
    THEN: "lost days if the position fails today: as things are, and as they would be",
    CHANGE: "days more or fewer; ? where nobody knows how to restore it, now or then",
    SPARE: "a unit kept for exchange, on top of those that are kept already",
    AHEAD: "a head start: an operation of a route bought before the part is needed",
    LAST_BUY: "the last order that a supplier accepts",
    ORDER_BY: "the last worked day on which an order still comes in time, as surely as the site "
    "has set",
    SAVES: "what a line takes off a year's exposure, on top of the lines above it",
    KNEE: "the point beyond which more money saves less than money saves on average",
    THIS_PLAN: "what the plan spends and leaves; both signs in one place become ◈",
    KEEPING: "what holding the purchases costs a year: money tied up, room, shelf life",
    RESTORE: "bring the crane back into service; here the days that this takes from today on",
    LONG_POLE: "the chain of steps that sets the day on which the crane is restored",
    POSITION: "one place on one crane where a part sits",
    WAITS: "what the most days of the long pole go into",
    LOST: "days until restored, times the share of its work that the crane loses",
    SHARE: "how much of its work the crane loses while the position is not restored",
    UNKNOWN: "positions that nobody knows how to restore: no part recorded, or no way to get it",
    NOT_KNOWN: "nobody has recorded it; this is not nought",
    ASSUMED: "rests on a figure that nobody has quoted or measured",
    BEARS_LOAD: "hook, rope, sheave, drum, brake, hoist gearing, structure: its failure can drop "
    "or strand the load",
    ASK_FIRST: "a load-bearing position with a twin: whether the crane may run without it is for "
    "a qualified person to decide, in writing",
    WAY: "one means of getting a part: store, order, purchase, repair, route, donor",
    ROUTE: "how a part is made, and one step of it",
    CAN_WAIT: "the days by which an operation may be late without moving the day of delivery",
    DONE_AHEAD: "a head start: an operation bought before the part is needed",
    TO_BE_SAFE: "the days within which it comes as surely as the site has set",
    A_YEAR: "failures to be expected in the coming year, in all places together",
    EXPOSURE: "exposure: what a year may take, failures times days to restore times share of work",
    SUPPLY: "how hard a part is to get, 0 to 100, 100 is worst: from age, sources, lead time",
    RANK: "firm where a place among the first ten, or below them, hardly changes when weights, "
    "rates and lead times are drawn anew",
    STAGE: "where a part stands in its life on the market, from current to no known source",
    CLOSES: "the last day on which its last supplier takes an order",
    JUMPS: "the year in which restoring some crane is expected to take half as long again",
    CHANCES: "chance that a part can still be had after 1, 3, 5, 10 years, a column for each: "
    "full for sure, · for none, ? for not known",
    DOWN_SHARE: "unavailability: the share of the time in which the crane stands still",
    STOPPER: "a position whose failure alone stops the crane",
    PAIR: "two positions that stop the crane only together; twins share spares, firmware and "
    "supply, so that one cause may take both",
    CRITICALITY: "chance that a position alone holds the crane, when the crane is down",
    FUSSELL: "chance that a position has a part in it, alone or with others, when the crane is "
    "down; for a pair the lower of the two, more it cannot have",
    FULL_LOAD: "running hours brought to full load, by the load-spectrum factor k_m",
    GROUP: "group of the mechanism: the full-load hours that it was designed for",
    USED: "S/D, full-load hours used over those of the group; an estimate",
    FACTOR: "raises the hours used where loads or hours were only estimated",
    FINDING: "something that a careful person would want to know, by a rule with a source",
    GRAVE: "danger: somebody may be hurt; warning: a crane may stand; note: worth knowing",
    TERM: "one step of the working: its name, its figure, and the record that it comes from",
    RECORD: "a row of the site book: the file and the key of the row",
    COMPANION: "a part that must be exchanged or used up together with another",
}

RECORDS = (RECORD,)
STOCK = (USABLE, BEARS_LOAD)
LISTS = (RESTORE, LONG_POLE, POSITION, WAITS, LOST, NOT_KNOWN, ASSUMED, BEARS_LOAD, ASK_FIRST)
WAYS = (WAY, TO_BE_SAFE, ROUTE)
RISKS = (A_YEAR, EXPOSURE, SUPPLY, RANK, WAITS, NOT_KNOWN)
TERMS = (TERM, RECORD, RESTORE, LOST, EXPOSURE, SUPPLY, ASSUMED)
WATCH = (STAGE, CLOSES, JUMPS, CHANCES, NOT_KNOWN)
YEAR = (LOST, DOWN_SHARE, STOPPER, PAIR, FUSSELL, CRITICALITY, NOT_KNOWN)
DUTY = (FULL_LOAD, GROUP, USED, FACTOR, NOT_KNOWN)
FINDINGS = (FINDING, GRAVE)
PLAN = (EXPOSURE, SPARE, AHEAD, LAST_BUY, ORDER_BY, SAVES, KEEPING, THIS_PLAN, KNEE, LOST)
COMPARE = (TAKES_NOW, OUTAGES, EACH_YEAR, RETURN, EXPOSURE, SPARE, NOT_KNOWN)
DEADLINES = (LAST_BUY, ORDER_BY, LEFT, TAKE, LASTS, NOT_KNOWN)
LAST_BUYS = (LAST_BUY, WORTH, LASTS)
TODAY = (FOR_TODAY, SOON, LOST, LAST_BUY, POINT)
PURCHASING = (POINT, USABLE, SITE_MIN, NOT_KNOWN)
FOUND = (FOUND_BY, PERHAPS, POSITION)
HELD = (HERE, USABLE)
OFFERED = (NOT_KNOWN,)
NEEDS = (DEAD, WEAKER, MUST_WORK, SHARE, BEARS_LOAD, ASK_FIRST)
PICTURES = (EXPOSURE, NEAREST, PROMISED, LIFE, KNEE, NOT_KNOWN)
WHAT_IF = (THEN, CHANGE, LOST, EXPOSURE, NOT_KNOWN)
