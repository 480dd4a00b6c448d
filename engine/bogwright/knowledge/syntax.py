"""What the YAML parser's complaints mean to the writer of the file, and how to mend them."""

from __future__ import annotations

# (pattern in the complaint of libyaml or of PyYAML's own parser, what is wrong, how to mend it), first match wins
MENDS: tuple[tuple[str, str, str], ...] = (
    (
        r"mapping values are not allowed",
        "a ': ' stands where it cannot",
        "quote a text that holds ': ', or line the key up with its neighbours",
    ),
    (
        r"expected ',' or ['\"]?[\]}]|expected ',' or ['\"]?\}",
        "a list or mapping in brackets is not closed, or a comma is missing",
        "add the comma or the closing bracket",
    ),
    (
        r"unexpected end of stream|while scanning a quoted scalar",
        "a quote is opened and never closed",
        "add the closing quote",
    ),
    (
        r"expected key|expected <block end>|expected '-' indicator|block sequence entries are not allowed|block end",
        "the indentation does not fit the lines around it",
        "line the entry up with its neighbours",
    ),
    (
        r"could not find expected ':'",
        "a key has no ':' after it",
        "write 'key: value'; quote a text that runs over lines",
    ),
    (
        r"cannot start any token",
        "a text starts with a character that means something in YAML",
        "quote the text",
    ),
    (
        r"unknown escape character",
        "a backslash in double quotes is followed by an unknown letter",
        "use single quotes, or double the backslash",
    ),
    (
        r"expected (?:the )?(?:node content|<document start>)|document start",
        "something stands where no value can stand",
        "check the line above: a quote, bracket or ':' may be missing",
    ),
    (
        r"hexdecimal|hexadecimal|[Uu]nicode|surrogates|codec",
        "an escaped character is not valid",
        "write the character itself",
    ),
    (r"tab character|'\\t'", "a tab stands where only spaces may", "use spaces"),
    (r"alphabetic or numeric character|anchor|alias", "an '&' or '*' starts this text", "quote the text"),
    (r"tag|directive", "a '!' or '%' starts this text", "quote the text"),
    (
        r"comment|block scalar|chomping|indentation indicator",
        "a '|' or '>' starts this text",
        "quote the text, or start the text on the next line",
    ),
)
