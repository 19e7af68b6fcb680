"""The command line: commands, options, exit codes; the only room that reads the clock."""
