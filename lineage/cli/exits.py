"""Exit status of every command."""

DONE = 0
BAD_NEWS = 1  # done, and the answer is bad news
BAD_INPUT = 2  # asked wrongly, or files that cannot be read
OUR_FAULT = 3  # a fault of this program
INTERRUPTED = 130
