# Lo que dice la propia aplicación: guardar, enviar, fotos.

shell-not-saved = No se ha guardado. Lo que escribió sigue aquí. Guárdelo otra vez o exporte un archivo. El teléfono dice: { $words }
shell-not-saved-full = No se ha guardado: no queda sitio en el teléfono. Lo que escribió sigue aquí. Libere espacio y guárdelo otra vez, o exporte un archivo.
shell-not-saved-closed = No se ha guardado: este navegador no deja que la aplicación conserve nada, como en una ventana privada. Abra la aplicación en una ventana normal o exporte un archivo.
shell-nothing-to-undo = Aquí no hay nada que deshacer.
shell-picture-unreadable = Esta foto no se puede leer. Tómela otra vez o elija otra. El teléfono dice: { $words }
shell-engine-missing = No se ha podido cargar la parte mayor de la aplicación. Se vuelve a intentar sola; necesita la red una vez.
