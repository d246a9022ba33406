"""What every room speaks of: answers, items, errors, the vocabulary of specs."""
