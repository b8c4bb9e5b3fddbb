"""`python -m approx`: the same program as the command `approx`."""

from approx.cli.main import main

if __name__ == "__main__":
    main()
