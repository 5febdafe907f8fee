"""What the app remembers: consultants, rooms, photos, private links, what was shared and what was answered."""
