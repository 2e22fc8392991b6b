"""`python -m standtrue`."""

from standtrue.cli import main

main()
