// Opens every part that is shut around a place of the page.
export function openAround(place) {
  for (let part = place.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
}
