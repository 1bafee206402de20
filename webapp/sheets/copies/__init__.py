"""The copies of the data: seen, made, downloaded, put back."""
