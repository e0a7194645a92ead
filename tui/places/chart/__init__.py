"""The chart, home: where does everything stand?"""
