"""The commands: parse, call one service, print."""
