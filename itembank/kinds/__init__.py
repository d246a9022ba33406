"""The kinds of problem, a folder each; `table` is the one list of them."""
