"""The sheets, a folder for each subject."""
