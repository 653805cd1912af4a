"""The club, its accounts and what each may do."""
