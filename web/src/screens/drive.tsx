export function DriveScreen() { return null; }
