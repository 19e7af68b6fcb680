"""The single rules that an application is held against."""
