"""Jobs: brought in, listed, looked at whole, changed, tied to callbacks, with what was agreed and paid."""
