"""The starter set: the files that `inspect-kit new` fills in and copies. Data; `{{name}}` marks what is filled in."""
