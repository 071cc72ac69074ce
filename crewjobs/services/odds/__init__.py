"""The odds of promises, and the first day that holds with a chance."""
