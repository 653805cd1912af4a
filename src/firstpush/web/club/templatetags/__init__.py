"""What templates of every folder ask about the club."""
