// Draws the reference from the file that this service serves, and from nothing else.
window.SwaggerUIBundle({
  url: '/openapi.json',
  dom_id: '#reference',
  validatorUrl: null,
  queryConfigEnabled: false,
  persistAuthorization: false,
  deepLinking: true,
  docExpansion: 'list',
  defaultModelsExpandDepth: 0,
  tryItOutEnabled: true,
})
