export function DrivesScreen() { return null; }
