"""The main line: joins the rooms, one short file for each answer."""
