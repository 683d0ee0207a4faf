DROP TABLE photo_files;
DROP TABLE photos;
