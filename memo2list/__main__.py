"""`python -m memo2list` is the same as `memo2list`."""

from memo2list.command_line import main

if __name__ == "__main__":
    main()
