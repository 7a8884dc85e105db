// The night sheet without a reload. Without this script the same form posts and the page comes back on the other sheet.
const root = document.documentElement

const put = (sheet) => {
  root.dataset.sheet = sheet
  const frame = document.querySelector('meta[name=theme-color]')
  if (frame) frame.content = frame.dataset[sheet]
  for (const form of document.querySelectorAll('form.night')) {
    form.elements.namedItem('to').value = sheet === 'night' ? 'day' : 'night'
    form.querySelector('button').textContent = sheet === 'night' ? 'Day sheet' : 'Night sheet'
  }
  // Charts are drawn in the colours of the sheet.
  dispatchEvent(new Event('sheet'))
}

addEventListener('submit', (event) => {
  const form = event.target
  if (!form.matches('form.night')) return
  event.preventDefault()
  const body = new URLSearchParams(new FormData(form))
  put(body.get('to'))
  localStorage.setItem('sheet', body.get('to'))
  // The server keeps the choice in a cookie; its redirect leads back to the page that is already here.
  fetch(form.action, { method: 'POST', body, redirect: 'manual', keepalive: true }).catch(() => {})
})

// Other windows follow, and so does a page that the browser had put aside: a white page must not come back in the dark.
addEventListener('storage', (event) => {
  if (event.key === 'sheet' && event.newValue) put(event.newValue)
})
addEventListener('pageshow', (event) => {
  const sheet = localStorage.getItem('sheet')
  if (event.persisted && sheet) put(sheet)
})
