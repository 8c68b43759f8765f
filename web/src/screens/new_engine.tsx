export function NewEngineScreen() { return null; }
