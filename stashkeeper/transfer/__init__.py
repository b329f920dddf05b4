"""Files in and out: folders of photos, spreadsheets. Knows no database."""
