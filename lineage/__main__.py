"""`python -m lineage` and the command `lineage`."""

from lineage.cli.main import main

if __name__ == "__main__":
    main()
