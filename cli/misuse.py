"""Words that the command line does not take, told in one plain line."""

import difflib
import re
from collections.abc import Sequence

from areacalc.errors import said_of

_CHOICES = re.compile(r"'(?P<given>[^']*)' is not (?:one of )?(?P<known>'[^']*'(?:, '[^']*')*)")
_MOST = re.compile(r"less than or equal to (\S+)")
_LEAST = re.compile(r"greater than or equal to (\S+)|(?:not in the range|>=)\s*x?>?=?(\S+)")


def plain(message: str, command: str, commands: Sequence[str]) -> str:
    """The line for a message of the option reader; `command` is what was being called, `commands` those that exist.

    >>> plain("No such option: --plugg (Possible options: --plug)", "areacalc area", ())
    'there is no option --plugg (did you mean --plug?); areacalc area --help lists them'
    >>> plain("Missing argument 'FILE...'.", "areacalc area", ())
    'FILE... is missing; areacalc area --help shows an example'
    >>> plain("Invalid value for '--show': Value error, 'cn' is not one of 'mm', 'in'", "areacalc area", ())
    "--show: 'cn' is not known; choose from mm, in"
    >>> plain("Invalid value for '--count' / '-n': Input should be a valid integer, unable to ...", "areacalc area", ())
    '--count is not a whole number; write it in figures, such as 4'
    >>> plain("Invalid value for '--port': Input should be less than or equal to 65535.", "areacalc page", ())
    '--port is too large; give 65535 or less'
    >>> plain("Invalid value for 'LOAD': Path 'pens.toml' is not readable.", "areacalc plan", ())
    "LOAD: 'pens.toml' may not be read; check its permissions"
    """
    text = " ".join(message.split()).rstrip(".")
    shows = f"{command} --help shows an example"
    if found := re.match(r"No such option:? '?(-[^\s']*)'?(.*)", text):
        near = difflib.get_close_matches(found[1], re.findall(r"--[\w-]+", found[2]), n=1, cutoff=0.7)
        hint = f" (did you mean {near[0]}?)" if near else ""
        return f"there is no option {found[1]}{hint}; {command} --help lists them"
    if found := re.match(r"No such command '([^']*)'", text):
        near = difflib.get_close_matches(found[1], commands, n=1)
        hint = f" (did you mean '{near[0]}'?)" if near else ""
        return f"there is no command '{found[1]}'{hint}; choose from {', '.join(commands)}"
    if found := re.match(r"Missing (?:argument|option|parameter):? '?([^']*?)'?(?: / .*)?$", text):
        return f"{found[1]} is missing; {shows}"
    if found := re.match(r"Option '(-[^']*)' requires an argument", text):
        return f"{found[1]}: nothing follows it; say what, as in the example of --help"
    if found := re.match(r"Got unexpected extra argument\S*? \((.*)\)", text):
        return f"'{found[1]}' is more than it takes; words with blanks stand in quotes; {shows}"
    if found := re.match(r"Invalid value for '([^']*)'(?: / '[^']*')?: (.*)", text):
        return said_of(found[1], _value(found[2]))
    return f"{text}; see {command} --help"


def _value(why: str) -> str:
    why = why.removeprefix("Value error, ")
    if found := _CHOICES.search(why):
        known = re.findall(r"'([^']*)'", found["known"])
        near = difflib.get_close_matches(found["given"], known, n=1) if len(known) > 3 else []
        hint = f" (did you mean '{near[0]}'?)" if near else ""
        return f"'{found['given']}' is not known{hint}; choose from {', '.join(known)}"
    if found := re.match(r"[Pp]ath '(.*)' is not readable", why):
        return f"'{found[1]}' may not be read; check its permissions"
    if "valid integer" in why:
        return "is not a whole number; write it in figures, such as 4"
    if "valid float" in why or "valid number" in why:
        return "is not a number; write it in figures, such as 2.5"
    if found := _MOST.search(why):
        return f"is too large; give {found[1]} or less"
    if found := _LEAST.search(why):
        return f"is too small; give {found[1] or found[2]} or more"
    return f"{why[:1].lower()}{why[1:]}; give another"
