"""What an appended line is known by."""

from hashlib import sha1


def entry_id(line: bytes) -> str:
    """The id of an entry: the first ten hexadecimal digits of the SHA-1 of its line.

    `line` begins with `- `; its end (LF or CRLF) does not count. An entry of several lines has the id of all of
    them, joined by LF.
    """
    return sha1(line.rstrip(b"\r\n").replace(b"\r\n", b"\n"), usedforsecurity=False).hexdigest()[:10]
