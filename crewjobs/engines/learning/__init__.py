"""Each crew's own pace, learned from hours that are known only as sums over the tasks of a day."""
