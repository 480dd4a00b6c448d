// Files of the site, as text.

/** The text of a file. Rejects when it cannot be had. */
export async function fetched(url) {
  const answer = await fetch(url);
  if (!answer.ok) throw new Error(`${url}: ${answer.status} ${answer.statusText}`);
  return answer.text();
}
