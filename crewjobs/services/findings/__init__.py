"""What demolition uncovers: what it holds, who is asked, what it adds, which ways on there are."""
