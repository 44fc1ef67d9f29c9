export function FieldPage(_: { ready: boolean }) {
  return <main class="field-page" />;
}
